"""Answers in words, read by persons: alike ones together, rubric beside them, two markers."""
