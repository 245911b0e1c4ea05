"""A running router as a picture: its lines, stages, routes and books."""
