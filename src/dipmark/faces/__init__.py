"""Floor 7: thin faces. They do not know one another."""
