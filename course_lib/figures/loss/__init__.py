"""Draw what lost packets cost a flow."""
