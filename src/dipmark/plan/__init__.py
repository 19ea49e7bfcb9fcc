"""Floor 3: choosing: what the workshop does when, and what lies on the shelf for it."""
