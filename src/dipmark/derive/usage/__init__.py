"""How fast a truck's hours run, and when a mark is reached: a gamma process in the yard's working time."""
