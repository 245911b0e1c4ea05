"""What distance-vector routers say to each other, and what is wrong with it (RFC 2453, 3.6, 3.9).

A message that is bad as a whole is ignored. In a good message a bad entry is ignored and the others
still count. Either way somebody should be told: the functions here find the words.
"""

__all__ = [
    "INFINITY",
    "MAX_ENTRIES",
    "Request",
    "RouteEntry",
    "Update",
    "problem_with_entry",
    "problem_with_message",
]

from typing import Generic, NamedTuple

from course_lib.routing.protocol import Destination, is_cost, is_hashable

INFINITY = 16  # section 3.4.1: unreachable
MAX_ENTRIES = 25  # section 3.6: entries in one message


class RouteEntry(NamedTuple, Generic[Destination]):
    """One line of a message: how far the sender is from a destination."""

    destination: Destination
    metric: int


class Request(NamedTuple):
    """ "Send me your whole table" (section 3.9.1)."""

    sender: str


class Update(NamedTuple, Generic[Destination]):
    """All or part of the sender's table; the RFC calls it a response."""

    sender: str
    entries: tuple[RouteEntry[Destination], ...]


def problem_with_message(message: object, receiver: str) -> str | None:
    """Say what is wrong with a message as a whole, or return None (section 3.9.2)."""
    if not isinstance(message, Request | Update) or not isinstance(message.sender, str):
        return f"malformed message {message!r}"
    if message.sender == receiver:
        return "our own message came back: the link leads to this router itself"
    if isinstance(message, Request):
        return None
    if not isinstance(message.entries, tuple):
        return f"update from {message.sender!r}: malformed entries {message.entries!r}"
    if not 1 <= len(message.entries) <= MAX_ENTRIES:
        count = len(message.entries)
        return f"update from {message.sender!r} has {count} entries, not 1 to {MAX_ENTRIES}"
    return None


def problem_with_entry(entry: object, place: int) -> str | None:
    """Say what is wrong with the entry at `place`, counted from 1, or return None.

    >>> problem_with_entry(RouteEntry("Gull Rock", 17), 3)
    "entry 3 ('Gull Rock'): metric 17 is not a whole number from 1 to 16 (RFC 2453, section 3.9.2)"
    """
    if not isinstance(entry, RouteEntry) or not is_hashable(entry.destination):
        return f"entry {place}: malformed {entry!r}"
    if not is_cost(entry.metric, 1, INFINITY):
        return (
            f"entry {place} ({entry.destination!r}): metric {entry.metric!r} is not a whole number "
            f"from 1 to {INFINITY} (RFC 2453, section 3.9.2)"
        )
    return None
