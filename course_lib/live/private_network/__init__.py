"""A network of real kernels that nothing outside sees, and that ends with whoever made it."""
