"""The exercises of each unit: their functions, aspects and points."""
