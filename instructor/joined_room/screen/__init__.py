"""The screen at the front: a page for a projector, and a room without laptops to try it with."""
