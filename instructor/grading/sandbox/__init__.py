"""Shut answers in, and try every wall."""
