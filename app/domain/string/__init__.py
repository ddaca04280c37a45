"""The string and what holds it: its state, the legal moves, the walk of a sheet, and the laws."""
