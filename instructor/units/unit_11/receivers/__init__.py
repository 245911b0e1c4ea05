"""Exercise 11.2, what a receiver acknowledges and holds: its questions and broken clauses."""
