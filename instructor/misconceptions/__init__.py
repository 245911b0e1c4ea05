"""Misconceptions as code: what an answer looks like when a belief is wrong."""
