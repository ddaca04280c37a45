"""Pulling: the inverse sheet of a run, from any step of it back to any earlier one."""
