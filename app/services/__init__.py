"""The use cases, one function each."""
