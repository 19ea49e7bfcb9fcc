"""Floor 5: the store, the clock, the files: everything that touches the world, one folder each."""
