"""The library's parts for whoever has not written them: a module per unit."""
