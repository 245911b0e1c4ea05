"""Public questions of unit 04, by what they ask about."""
