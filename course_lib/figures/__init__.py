"""Figures drawn as SVG, each with a text that says the same; import the one that you need."""
