"""Exercise 11.6, an exponent and how sure it is: its questions and broken clauses."""
