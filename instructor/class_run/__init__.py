"""Grade a class from the first file to the last page, resumable at any moment."""
