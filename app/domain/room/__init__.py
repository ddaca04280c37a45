"""Room in the hole: what the string needs across, place by place, and what the hole gives."""
