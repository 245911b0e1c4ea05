"""Exercise 12.1, a router put together from parts: its answers, questions and broken clauses."""
