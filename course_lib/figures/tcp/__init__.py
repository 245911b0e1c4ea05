"""Pictures of flows and buffers."""
