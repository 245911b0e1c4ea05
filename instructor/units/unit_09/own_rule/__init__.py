"""Exercise 9.6: a matching rule of one's own."""
