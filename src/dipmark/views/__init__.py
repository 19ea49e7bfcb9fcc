"""Floor 4: what a screen or a sheet says, as frozen data."""
