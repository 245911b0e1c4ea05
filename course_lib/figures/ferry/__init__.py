"""The water between the piers of Quillwater Ferries, drawn."""
