"""How bad packets are refused: one exception, and one list of reasons.

Octets from the wire can be wrong in many ways, and none of them is a fault of the program. All of
them raise `PacketError`, which says *why* (a `Reason`), *where* (a field and the octet in which it
begins) and, for people, what was met and what would have been allowed.

A caller who hands a wrong value to `build` gets a plain `ValueError` or `TypeError` in its place.
"""

__all__ = ["PacketError", "Reason", "between", "cut_short", "refusal", "unbuildable"]

import operator
from collections.abc import Iterator
from enum import StrEnum

from course_lib.headers.layouts import HeaderLayout


class Reason(StrEnum):
    """Why a packet goes no further; counters, messages and exercises use these words."""

    CUT_SHORT = "cut short"
    NOT_ETHERNET_II = "not Ethernet II"
    WRONG_ADDRESS_SPACE = "wrong address space"
    WRONG_ADDRESS_LENGTH = "wrong address length"
    WRONG_VERSION = "wrong version"
    WRONG_HEADER_LENGTH = "wrong header length"
    WRONG_CHECKSUM = "wrong checksum"
    WRONG_TOTAL_LENGTH = "wrong total length"
    WRONG_UDP_LENGTH = "wrong UDP length"
    WRONG_DATA_OFFSET = "wrong data offset"
    # What follows is not wrong with the octets: it is what a router makes of a packet.
    OTHER_STATION = "for another station"
    UNKNOWN_ETHER_TYPE = "unknown ether type"
    INVALID_SOURCE = "invalid source address"
    INVALID_DESTINATION = "invalid destination address"
    LINK_LAYER_BROADCAST = "link-layer broadcast"
    DIRECTED_BROADCAST = "directed broadcast"
    BROADCAST_UNANSWERED = "broadcast that nobody here answers"
    MULTICAST = "multicast"
    NO_ROUTE = "no route"
    TIME_EXCEEDED = "time to live exceeded"
    FRAGMENTATION_NEEDED = "fragmentation needed and not allowed"
    FRAGMENT_TOO_FAR = "fragment beyond the largest datagram"
    WRONG_OPTION = "wrong option"
    SOURCE_ROUTE = "source route"
    QUEUE_FULL = "queue full"
    WAITING_TOO_MANY = "displaced while waiting for a neighbour"
    HOST_UNREACHABLE = "no answer from the next hop"
    NO_SUCH_PROTOCOL = "protocol not spoken here"
    NO_SUCH_PORT = "nobody listens on this port"
    NOT_UNDERSTOOD = "message not understood"
    REASSEMBLY_TIME_EXCEEDED = "fragments missing for too long"
    FILTERED = "filtered"
    STAGE_FAILED = "stage failed"


class PacketError(ValueError):
    """Octets that are not the header they should be.

    `field` is a name of the layout table, `offset` the octet of the header in which it begins.
    """

    def __init__(self, message: str, reason: Reason, field: str, offset: int) -> None:
        super().__init__(message, reason, field, offset)  # all of it, so that it can be pickled
        self.reason = reason
        self.field = field
        self.offset = offset

    def __str__(self) -> str:
        return str(self.args[0])


def cut_short(layout: HeaderLayout, present: int) -> PacketError:
    """Return the error for data that end, after `present` octets, inside the fixed part."""
    missing = next(field for field in layout.fields if field.first_bit + field.bits > present * 8)
    message = (
        f"{layout.name} header is cut short: {present} octets are there, "
        f"at least {layout.octets} are needed; {missing.name}, "
        f"from octet {missing.octet} on, is missing ({missing.source})"
    )
    return PacketError(message, Reason.CUT_SHORT, missing.name, missing.octet)


def refusal(layout: HeaderLayout, name: str, reason: Reason, met: int, allowed: str) -> PacketError:
    """Return the error for a field that holds `met` where only `allowed` would do."""
    field = layout.field(name)
    message = (
        f"{layout.name} {name} (octet {field.octet}) is {field.to_text(met)}, "
        f"must be {allowed} ({field.source})"
    )
    return PacketError(message, reason, name, field.octet)


def between(low: int, high: int) -> str:
    """Return a range in words.

    >>> between(5, 7), between(5, 5)
    ('5 to 7', 'exactly 5')
    """
    return f"{low} to {high}" if low < high else f"exactly {low}"


def unbuildable(layout: HeaderLayout, header: object) -> ValueError | TypeError:
    """Return the error for the first field of `header` that cannot be packed."""
    return next(_problems(layout, header))


def _problems(layout: HeaderLayout, header: object) -> Iterator[ValueError | TypeError]:
    options = getattr(header, "options", b"")
    if len(options) % 4 or len(options) > layout.largest_options:
        yield ValueError(
            f"{layout.name} options must have 0, 4, 8 ... {layout.largest_options} octets, "
            f"not {len(options)}: pad them, or leave some out"
        )
    for field in layout.fields:
        value, must = getattr(header, field.name), f"{layout.name} {field.name} must"
        if field.kind == "hardware address":
            if not isinstance(value, bytes):
                yield TypeError(f"{must} be bytes, not {type(value).__name__}")
            elif len(value) * 8 != field.bits:
                yield ValueError(f"{must} have {field.bits // 8} octets, not {len(value)}")
            continue
        try:
            number = operator.index(value)
        except TypeError:
            yield TypeError(f"{must} be an int, not {type(value).__name__}")
            continue
        if not 0 <= number <= field.largest:
            why = f"{field.bits} bits; {field.source}"
            yield ValueError(f"{must} be 0 to {field.largest}, not {number} ({why})")
