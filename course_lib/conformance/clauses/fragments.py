"""What is too large for the next link: cut, or reported (RFC 791, section 3.2; RFC 1191).

A router of this course may leave out most of this. That it must not send what the link cannot carry
goes without a clause: no link could do it.
"""

__all__ = ["SCENARIOS"]

from collections.abc import Sequence
from functools import partial

from course_lib.conformance.bench import OFFICE, QUAY, RADIO
from course_lib.conformance.expectations import Comes, Holds, Never
from course_lib.conformance.given import ECHOED, Given, at_quay, datagram, echo, icmp
from course_lib.conformance.scenario import PLAIN, Scenario
from course_lib.conformance.seen import Seen
from course_lib.headers.assigned_numbers import (
    ICMP_DESTINATION_UNREACHABLE,
    ICMP_ECHO,
    ICMP_TIME_EXCEEDED,
)
from course_lib.ip.fragmentation import DONT_FRAGMENT, MORE_FRAGMENTS

FORWARDED, ERROR, REPLY = "a forwarded packet", "an ICMP error", "an echo reply"
_CUT = "cut into fragments"
_DATA = bytes(range(250)) * 5
_FEWEST = 3  # 1,250 octets, of which 552 fit into one datagram of 576
_piece = partial(Scenario, group="fragments", is_core=False)
_LARGE = at_quay(datagram(_DATA, protocol=253))
_MESSAGE = icmp(ICMP_ECHO, 0, 0x0007_0001, _DATA)
_COPIED, _NOT_COPIED = bytes.fromhex("94040000"), bytes.fromhex("5e04abcd")


def _parts(frames: Sequence[Seen]) -> list[Seen]:
    return [each for each in frames if each.kind == FORWARDED and each.ipv4 is not None]


def _offset(part: Seen) -> int:
    return part.ipv4.fragment_offset * 8 if part.ipv4 is not None else 0


def _together(frames: Sequence[Seen]) -> str | None:
    """Return what is wrong if the fragments are not the datagram that was sent."""
    parts = _parts(frames)
    if len(parts) < 2:
        return f"{len(parts)} packets left, and one alone cannot hold {len(_DATA)} octets here"
    whole = bytearray(len(_DATA))
    for part in parts:
        whole[_offset(part) : _offset(part) + len(part.payload)] = part.payload
    if whole == _DATA:
        return None
    at = next((n for n, octet in enumerate(_DATA) if octet != whole[n : n + 1][0]), len(_DATA))
    return f"put together, the fragments differ from what was sent, from octet {at} on"


def _marked(frames: Sequence[Seen]) -> str | None:
    parts = sorted(_parts(frames), key=_offset)
    for part in parts[:-1]:
        if len(part.payload) % 8:
            return f"a fragment but the last carries {len(part.payload)} octets, no multiple of 8"
        if part.ipv4 is not None and not part.ipv4.flags & MORE_FRAGMENTS:
            return "a fragment but the last does not say that more follow (flags, octet 6)"
    last = parts[-1].ipv4
    if last is not None and last.flags & MORE_FRAGMENTS:
        return "the last fragment says that more follow (flags, octet 6)"
    return None


def _few(frames: Sequence[Seen]) -> str | None:
    count = len(_parts(frames))
    return None if count == _FEWEST else f"{count} fragments came, {_FEWEST} are enough"


def _in_order(frames: Sequence[Seen]) -> str | None:
    offsets = [_offset(part) for part in _parts(frames)]
    return None if offsets == sorted(offsets) else f"they came in the order of octets {offsets}"


def _cut_further(frames: Sequence[Seen]) -> str | None:
    """Return what is wrong with the fragments of a fragment that began at octet 80."""
    parts = sorted(_parts(frames), key=_offset)
    if len(parts) < 2 or _offset(parts[0]) != 80:
        return f"fragments came at octets {[_offset(part) for part in parts]}, must begin at 80"
    silent = [_offset(one) for one in parts if one.ipv4 and not one.ipv4.flags & MORE_FRAGMENTS]
    return f"the piece at octet {silent[0]} does not say that more follow" if silent else None


def _options_of_parts(frames: Sequence[Seen]) -> str | None:
    parts = sorted(_parts(frames), key=_offset)
    for part in parts[1:]:
        options = part.ipv4.options if part.ipv4 is not None else b""
        if _NOT_COPIED in options or _COPIED not in options:
            return f"a later fragment has the options {options.hex(' ', 2) or 'none'}"
    return None


def _in_pieces(*cuts: tuple[int, int], at_s: float = 0.0) -> tuple[Given, ...]:
    return tuple(
        at_quay(
            datagram(
                _MESSAGE[start:end],
                protocol=1,
                destination=QUAY.address,
                flags=int(end < len(_MESSAGE)),
                fragment_offset=start // 8,
            ),
            at_s,
        )
        for start, end in cuts
    )


SCENARIOS = (
    _piece(
        _CUT,
        standard="RFC 791",
        section="section 3.2",
        rule="what is too large for the next link is cut, and put together it is what was sent",
        given=(_LARGE,),
        expected=Holds("fragments that hold all of the datagram", _together),
    ),
    _piece(
        "fragments are marked",
        standard="RFC 791",
        section="section 3.2",
        rule="all fragments but the last carry a multiple of 8 octets and say that more follow",
        given=(_LARGE,),
        expected=Holds("lengths and flags as fragments have them", _marked),
        needs=(PLAIN, _CUT),
    ),
    _piece(
        "fragments' checksums",
        standard="RFC 791",
        section="section 3.2",
        rule="every fragment has a header of its own, with a right checksum",
        given=(_LARGE,),
        expected=Comes(FORWARDED, {"header sum": True}),
        needs=(PLAIN, _CUT),
    ),
    _piece(
        "fragments keep the header",
        standard="RFC 791",
        section="section 3.2",
        rule="identification, protocol, addresses and time to live are the same in all fragments",
        given=(_LARGE,),
        expected=Comes(
            FORWARDED,
            {"ipv4.identification": 0x1812, "ipv4.protocol": 253, "ipv4.time_to_live": 63,
             "ipv4.source": OFFICE.address},
        ),
        needs=(PLAIN, _CUT),
    ),
    _piece(
        "few fragments",
        standard="RFC 1812",
        section="section 4.2.2.7",
        rule="there are as few fragments as can be",
        given=(_LARGE,),
        expected=Holds(f"{_FEWEST} fragments", _few),
        needs=(PLAIN, _CUT),
    ),
    _piece(
        "fragments in order",
        standard="RFC 1812",
        section="section 4.2.2.7",
        rule="fragments leave in order",
        given=(_LARGE,),
        expected=Holds("fragments in the order of their offsets", _in_order),
        needs=(PLAIN, _CUT),
    ),
    _piece(
        "fragment of a fragment",
        standard="RFC 791",
        section="section 3.2",
        rule="a fragment can be cut again: offsets go on from its own, and more still follow",
        given=(at_quay(datagram(_DATA[:1200], protocol=253, flags=1, fragment_offset=10)),),
        expected=Holds("fragments from octet 80 on, all with more to follow", _cut_further),
        needs=(PLAIN, _CUT),
    ),
    _piece(
        "options of later fragments",
        standard="RFC 791",
        section="section 3.1",
        rule="later fragments have those options only whose first bit says so",
        given=(at_quay(datagram(_DATA, protocol=253, options=_COPIED + _NOT_COPIED)),),
        expected=Holds("9404 0000 in later fragments, and not 5e04 abcd", _options_of_parts),
        needs=(PLAIN, _CUT, "unknown option"),
    ),
    _piece(
        "exactly as large as may be",
        standard="RFC 791",
        section="section 3.2",
        rule="what just fits is not cut",
        given=(at_quay(datagram(_DATA[: RADIO.mtu - 20], protocol=253)),),
        expected=Comes(FORWARDED, {"ipv4.total_length": RADIO.mtu}),
        is_core=True,
    ),
    _piece(
        "must not be cut",
        standard="RFC 791",
        section="section 3.1",
        rule="what is too large and says “don't fragment” does not go on",
        given=(at_quay(datagram(_DATA, protocol=253, flags=DONT_FRAGMENT)),),
        expected=Never(FORWARDED),
        is_core=True,
    ),
    _piece(
        "don't fragment, but fits",
        standard="RFC 791",
        section="section 3.1",
        rule="“don't fragment” says nothing about a packet that fits",
        given=(at_quay(datagram(flags=DONT_FRAGMENT)),),
        expected=Comes(FORWARDED, {"ipv4.flags": DONT_FRAGMENT}),
        is_core=True,
    ),
    _piece(
        "too large is reported",
        standard="RFC 792",
        section="page 4",
        rule="its sender is told: destination unreachable, code 4",
        given=(at_quay(datagram(_DATA, protocol=253, flags=DONT_FRAGMENT)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_DESTINATION_UNREACHABLE, "icmp.code": 4}),
        is_core=True,
    ),
    _piece(
        "how much would have fitted",
        standard="RFC 1191",
        section="section 4",
        rule="octets 6 and 7 of that message tell what the next link carries, here 576",
        given=(at_quay(datagram(_DATA, protocol=253, flags=DONT_FRAGMENT)),),
        expected=Comes(ERROR, {"icmp.rest_of_header": RADIO.mtu}),
        needs=(PLAIN, "too large is reported"),
        is_core=True,
    ),
    _piece(
        "lifetime before size",
        standard="RFC 1812",
        section="section 5.2.1.2",
        rule="the time to live is looked at before anything is cut: an end is told once",
        given=(at_quay(datagram(_DATA, protocol=253, time_to_live=1)),),
        expected=Comes(ERROR, {"icmp.type": ICMP_TIME_EXCEEDED}, once=True),
        needs=(PLAIN, "time exceeded is reported"),
        is_core=True,
    ),
    _piece(
        "put together",
        standard="RFC 1812",
        section="section 4.2.2.8",
        rule="an echo for the router that came in pieces is put together and answered",
        given=_in_pieces((0, 480), (480, 960), (960, len(_MESSAGE))),
        expected=Comes(REPLY, {"message data": _DATA}),
        needs=("an echo",),
    ),
    _piece(
        "put together in any order",
        standard="RFC 791",
        section="section 3.2",
        rule="the pieces may come in any order",
        given=_in_pieces((960, len(_MESSAGE)), (0, 480), (480, 960)),
        expected=Comes(REPLY, {"message data": _DATA}),
        needs=("an echo", "put together"),
    ),
    _piece(
        "a piece is missing",
        standard="RFC 791",
        section="section 3.2",
        rule="nothing is answered before all pieces are there",
        given=_in_pieces((0, 480), (960, len(_MESSAGE))),
        expected=Never(REPLY),
        needs=("an echo", "put together"),
    ),
    _piece(
        "missing for too long",
        standard="RFC 1122",
        section="section 3.3.2",
        rule="after 60 to 120 seconds the rest is given up: time exceeded, code 1",
        given=_in_pieces((0, 480)),
        expected=Comes(ERROR, {"icmp.type": ICMP_TIME_EXCEEDED, "icmp.code": 1}),
        needs=("an echo", "put together", "time exceeded is reported"),
        until_s=121.0,
    ),
    _piece(
        "beyond the largest datagram",
        standard="RFC 791",
        section="section 3.1",
        rule="a piece that would lie beyond the largest datagram, 65,535 octets, is not used",
        given=(
            at_quay(datagram(_MESSAGE[:480], protocol=1, destination=QUAY.address, flags=1)),
            at_quay(datagram(ECHOED * 4, protocol=1, destination=QUAY.address,
                             fragment_offset=8191)),
            at_quay(echo(QUAY.address), at_s=0.1),
        ),
        expected=Comes(REPLY, {"message data": ECHOED}),
        needs=("an echo",),
    ),
)  # fmt: skip
