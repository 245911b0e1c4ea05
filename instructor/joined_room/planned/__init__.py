"""The plan of a room, which stands before anybody joins: piers, neighbours, addresses."""
