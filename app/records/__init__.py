"""Turns values into text and back, with the place of every mistake."""
