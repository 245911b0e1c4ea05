"""What members report of their links and routes, of a stream, of one packet; and what it means."""
