"""Floor 2: everything that follows from the record and the rules."""
