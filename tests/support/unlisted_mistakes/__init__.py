"""Wrong answers that no listed belief explains, by unit."""
