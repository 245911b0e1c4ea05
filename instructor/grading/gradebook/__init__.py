"""Write what was marked into the gradebook, and believe what people entered there."""
