"""What each command leads to, one subject a module; `decide` finds the way here."""
