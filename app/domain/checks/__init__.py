"""What is computed and judged before release and during the run, one subject a module."""
