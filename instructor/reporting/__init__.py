"""Report on a class: what it did, what it misunderstood, and who needs a person."""
