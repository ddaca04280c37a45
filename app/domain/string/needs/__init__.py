"""What moves need, one subject a module: each need belongs to a law and says what would mend it."""
