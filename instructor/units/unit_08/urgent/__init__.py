"""Exercise 8.5: urgent first, but not for ever."""
