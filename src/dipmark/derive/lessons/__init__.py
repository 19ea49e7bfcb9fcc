"""What the yard's record teaches: what comes back, what wears out, what an interval saves, what a truck costs."""
