"""The cells of a notebook: which were run, and what each of their statements does."""
