"""A class on a JupyterHub: the settings, and an exchange that trusts no hand-in's name."""
