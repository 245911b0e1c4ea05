"""Pictures of what happens inside a router."""
