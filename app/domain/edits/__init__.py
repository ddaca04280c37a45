"""Changes to the compiled sheet of a plan before its release, kept as differences to what was compiled."""
