"""Decisions about a class: each is shown with its points first, then confirmed, then on record."""
