"""Exercise 8.3, two buckets and three colours: its questions and broken clauses."""
