"""Workbooks as pages for those who read on paper or by ear."""
