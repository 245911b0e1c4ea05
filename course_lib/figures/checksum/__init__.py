"""Pictures of the checksum: how words add up, and which damage the sum misses."""
