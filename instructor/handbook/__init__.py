"""The handbook: for each unit what to say, show, listen for and discuss, and what goes wrong."""
