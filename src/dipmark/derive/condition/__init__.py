"""What is measured, one subject a file: the arithmetic, and the reading held against its limit."""
