"""What the events of one subject make of a run, one subject a module; `apply` finds the way here."""
