"""Two classes beside each other: what got better, and what to change before the next one."""
