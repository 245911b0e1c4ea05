"""Exercise 11.3, the retransmission timer: its questions and broken clauses."""
