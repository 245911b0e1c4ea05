"""What all live figures share: what can be touched, how it is written, and the own guess."""
