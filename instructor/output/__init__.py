"""Write pages, text and tables: whole and safe."""
