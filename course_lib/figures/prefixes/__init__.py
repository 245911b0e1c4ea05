"""Pictures of addresses and prefixes."""
