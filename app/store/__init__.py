"""The database: an append-only log of events and what is kept beside it."""
