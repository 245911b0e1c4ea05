"""Answers that break one clause of a contract of unit 04 and keep all others."""
