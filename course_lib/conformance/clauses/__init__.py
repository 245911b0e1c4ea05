"""All clauses, a module for each kind. Each has `SCENARIOS`; `all_clauses` joins them."""
