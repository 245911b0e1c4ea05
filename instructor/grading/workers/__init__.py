"""Who examines: threads, processes, a cluster."""
