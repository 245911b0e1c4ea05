"""How exercises did: how hard they were, what they tell apart, and which look broken."""
