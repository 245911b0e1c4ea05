"""Everything that runs inside the sandbox."""
