"""Exercise 11.4, a window round trip by round trip: its questions and broken clauses."""
