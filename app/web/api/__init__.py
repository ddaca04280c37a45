"""The same use cases for other programs: JSON over HTTP."""
