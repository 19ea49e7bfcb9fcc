"""Rules: what a kind of truck asks for, with the source of every value."""
