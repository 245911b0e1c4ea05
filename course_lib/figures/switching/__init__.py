"""Figures of cells through a crossbar."""
