"""Exercises with numbers of one's own: from a short code, the same ones each time."""
