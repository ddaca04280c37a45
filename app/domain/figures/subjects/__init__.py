"""Every figure of a plan or a run, one subject a module, each figure with what it is about."""
