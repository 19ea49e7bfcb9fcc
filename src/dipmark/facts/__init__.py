"""Floor 0: what somebody saw or did, and the book it is written in."""
