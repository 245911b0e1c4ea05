"""Write pages, text, tables and files: whole and safe."""
