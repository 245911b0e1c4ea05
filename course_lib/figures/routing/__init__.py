"""Routers that look for ways: a map, what is told on its lines, tables, and what gets lost."""
