"""Who has which address in the story of all workbooks: one plan, from which every unit draws.

Links between routers lie in 192.0.2.0/24, what stands on piers in 198.51.100.0/24, what sails
in 203.0.113.0/24: three ranges set aside for documentation (RFC 5737). A pier or a boat is known
by the address that its router has in its own net, where the first one is always the router's.
"""

__all__ = ["ADDRESSES", "NETS", "NOBODY", "holder_of"]

from collections.abc import Mapping

NETS: Mapping[str, str] = {
    "North Pier": "198.51.100.0/27",
    "Reed Pier": "198.51.100.32/27",
    "Lantern Pier": "198.51.100.64/27",
    "Gull Rock": "198.51.100.96/27",
    "Plover": "203.0.113.0/28",
    "Curlew": "203.0.113.16/28",
    "Sandpiper": "203.0.113.32/28",
}

ADDRESSES: Mapping[str, str] = {
    "North Pier": "198.51.100.1",
    "Ticket Office": "198.51.100.2",
    "Reed Pier": "198.51.100.33",
    "Reed Pier Desk": "198.51.100.34",
    "Lantern Pier": "198.51.100.65",
    "Timetable Board": "198.51.100.66",
    "Gull Rock": "198.51.100.97",
    "Weather Mast": "198.51.100.98",
    "Plover": "203.0.113.1",
    "Plover Bridge Screen": "203.0.113.2",
    "Curlew": "203.0.113.17",
    "Curlew Bridge Screen": "203.0.113.18",
    "Sandpiper": "203.0.113.33",
    "Sandpiper Bridge Screen": "203.0.113.34",
}

NOBODY = "203.0.113.200"  # inside the boats' range, on no boat


def holder_of(address: str) -> str | None:
    """Return who has an address of the plan; None if nobody has.

    >>> holder_of("203.0.113.1"), holder_of("203.0.113.200")
    ('Plover', None)
    """
    return next((name for name, own in ADDRESSES.items() if own == address), None)
