"""Answers that break one clause of a contract of unit 03 and keep all others."""
