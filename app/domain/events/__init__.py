"""What has happened in a run: events of fixed kinds, one subject a module."""
