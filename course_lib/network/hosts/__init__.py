"""The computers at the ends: what they answer, ask and send."""
