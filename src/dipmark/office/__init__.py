"""Floor 6: the use cases, the only code that both reads and writes."""
