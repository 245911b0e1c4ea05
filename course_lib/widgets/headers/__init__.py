"""Live figures of headers: their fields, their checksum, and what damage it notices."""
