"""What students import: the parts of a router, small enough to read."""
