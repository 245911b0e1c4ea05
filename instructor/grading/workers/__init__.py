"""Who examines: processes of this machine, or of a cluster."""
