"""Pictures of what real packets did."""
