"""Pictures of lookup tables."""
