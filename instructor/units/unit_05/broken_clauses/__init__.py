"""Answers of unit 05 that break one clause of a contract and keep all others."""
