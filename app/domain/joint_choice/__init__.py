"""Joint choice: which joints of the rack, in which order, bring a swivel to mid stroke."""
