"""The board of clauses, drawn."""
