"""Pictures of headers."""
