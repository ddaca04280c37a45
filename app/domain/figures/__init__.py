"""Figures worked out from the plan and from what was read: torque, cables, lines; each a result."""
