"""The pure core: what the trade knows. No clock, disk, chance, log or setting."""
