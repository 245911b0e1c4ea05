"""Public questions of unit 06, by what they ask about."""
