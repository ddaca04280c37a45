"""The open part of a run's sheet written anew: a way back, the rest of a changed plan."""
