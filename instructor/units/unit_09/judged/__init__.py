"""Exercise 9.3: what a matching is, and what shows it."""
