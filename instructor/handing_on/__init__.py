"""A course kit for another teacher."""
