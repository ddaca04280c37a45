"""What a run comes to at a step: depths, what the hook carries, what is on, and when it ends."""
