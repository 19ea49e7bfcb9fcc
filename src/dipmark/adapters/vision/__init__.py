"""Sees: finds filled sheets in pictures and reads what was ticked; what is not sure is said to be unsure."""
