"""A run whose open part is written anew."""
