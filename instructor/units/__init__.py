"""What the staff knows of each unit: a folder per unit, and what joins and builds from them."""
