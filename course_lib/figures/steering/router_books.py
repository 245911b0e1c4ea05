"""What became of all packets, in sentences: the balance, why some were dropped, who complains."""

__all__ = ["balance_words", "complaint_words", "dropped_words", "neighbour_words", "other_words"]

from collections.abc import Mapping

from course_lib.prefixes.text import format_address, format_mac
from course_lib.steering.states import RouterState

_DROPPED = "dropped: "
_IN_BALANCE = ("received", "made", "sent", "taken")
_OF_NO_INTEREST = ("task: ",)


def balance_words(counters: Mapping[str, int]) -> str:
    """Return the balance of a router that counts as the library's does.

    >>> balance_words({"received": 9, "sent": 5, "taken": 1, "dropped: no route": 2})
    'in 9 + made 0 = sent 5 + for itself 1 + dropped 2 + waiting 1'
    """
    if not counters:
        return "This router tells of no counters."
    if "received" not in counters:
        return "; ".join(f"{name} {number:,}" for name, number in counters.items())
    received, made, sent, taken = (counters.get(name, 0) for name in _IN_BALANCE)
    dropped = sum(_dropped(counters).values())
    waiting = received + made - sent - taken - dropped
    return (
        f"in {received:,} + made {made:,} = sent {sent:,} + for itself {taken:,} "
        f"+ dropped {dropped:,} + waiting {waiting:,}"
    )


def dropped_words(counters: Mapping[str, int]) -> str:
    """Say why packets were dropped.

    >>> dropped_words({"dropped: no route": 2})
    'Dropped: 2 no route.'
    """
    reasons = ", ".join(f"{number:,} {name}" for name, number in _dropped(counters).items())
    return f"Dropped: {reasons}." if reasons else "Nothing was dropped."


def other_words(counters: Mapping[str, int]) -> str:
    """Return all counters that are in no other sentence and are not 0."""
    shown = (*_IN_BALANCE, _DROPPED, *_OF_NO_INTEREST)
    rest = (f"{name} {n:,}" for name, n in counters.items()
            if n and not name.startswith(shown))  # fmt: skip
    return "; ".join(rest) if "received" in counters else ""


def neighbour_words(state: RouterState) -> str:
    """Say whose hardware address is known."""
    known = ", ".join(
        f"{format_address(each.address)} is {format_mac(each.hardware_address)}"
        for each in state.neighbours
    )
    return f"Neighbours: {known}." if known else "No neighbour is known."


def complaint_words(state: RouterState) -> str:
    """Return the newest complaint; '' if there is none."""
    return state.complaints[-1] if state.complaints else ""


def _dropped(counters: Mapping[str, int]) -> dict[str, int]:
    return {
        name.removeprefix(_DROPPED): number
        for name, number in counters.items()
        if name.startswith(_DROPPED)
    }
