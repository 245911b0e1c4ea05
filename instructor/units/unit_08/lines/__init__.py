"""Exercises 8.1 and 8.2, a line with room for some, and what a record says."""
