"""A stranger's tables, from bytes to typed rows; what the rows mean for a truck is decided above."""
