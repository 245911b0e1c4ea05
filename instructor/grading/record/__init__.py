"""What was graded, with what, and whether that still holds."""
