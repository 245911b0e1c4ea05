"""Unit 12, your own router."""
