"""Turns a run plan into a sheet, one module a stage family."""
