"""Twinleg, the run sheet for a dual-pump bypass string."""
