"""Exercise 11.5: from losses to a rate."""
