"""The picture of the string at one moment, as placed things: what is where, not how it is painted."""
