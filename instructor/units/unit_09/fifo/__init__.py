"""Exercise 9.1: one slot with a line at each input."""
