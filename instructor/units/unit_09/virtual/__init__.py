"""Exercise 9.2: a line for each output at each input."""
