"""Answers that break one clause of a contract of unit 07 and keep all others."""
