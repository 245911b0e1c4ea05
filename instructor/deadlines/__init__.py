"""Deadlines, extensions, excuses, and what being late costs: rules as values, files at the edge."""
