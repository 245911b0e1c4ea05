"""The library's router with one small fault each, and the clause that forbids it.

A fault is a change of what comes in, of what goes out, or of a part of the router; all else is as
it should be. `BROKEN` holds them by name.
"""

from collections.abc import Callable
from functools import partial
from typing import NamedTuple

from course_lib.checksum import checksum
from course_lib.conformance.bench import (
    CABLE,
    OFFICE,
    QUAY,
    RADIO,
)
from course_lib.forwarding.verdicts import Drop
from course_lib.headers.errors import Reason
from course_lib.ip.icmp_errors import ErrorLimit
from course_lib.ip.neighbours import BROADCAST
from networks.spoiled_answers import (
    answers_all_messages,
    answers_damaged,
    answers_replies,
    cuts,
    cuts_small,
    cuts_what_may_not,
    is_an_error,
    last_piece_is_enough,
    never_more,
    never_together,
    no_patience,
    of_each,
    offset_in_words,
    only_here,
    own_numbers,
    records_way_in,
    refuses_messages,
    same_sum,
    service,
    tells_about,
    without_options,
)
from networks.spoiled_frames import (
    Fragile,
    any_sum,
    broadcast_to_us,
    fields,
    flooded,
    forwarded,
    frames_in,
    frames_out,
    inwards,
    length_that_came,
    length_there,
    library_router,
    mended,
    message,
    own,
    resolution,
    to_us,
)
from networks.spoiled_neighbours import (
    answer_is_question,
    any_kind,
    asks_every_time,
    asks_for_every_packet,
    believes_groups,
    for_all,
    forgets_waiting,
    hears,
    learns_from_all,
    learns_from_answers_only,
    neighbours,
    never_moves,
)
from networks.spoiled_stages import (
    as_host,
    asks_for_destination,
    before,
    broadcasts_by,
    dies_at_two,
    from_net,
    let_through,
    lifetime_first,
    lifetime_first_but_own,
    lifetime_of_own,
    lives_on,
    not_back,
    parts,
    to_net,
    with_default,
    without_prefix,
)


class Fault(NamedTuple):
    """A router with a fault: how it is made, and the clause that must tell it."""

    clause: str
    make: Callable


BROKEN = {
    # headers
    "no checksum check": Fault("wrong checksum", inwards(any_sum)),
    "any version": Fault("wrong version", inwards(partial(mended, first=lambda o: 0x40 | o & 15))),
    "any header length": Fault(
        "header length below 5", inwards(partial(mended, first=lambda o: max(o, 0x45)))
    ),
    "any total length": Fault(
        "total length below header", inwards(partial(mended, total=length_there))
    ),
    "fails on short frames": Fault("header cut short", lambda i, r: Fragile(library_router(i, r))),
    "forwards what was cut": Fault(
        "datagram cut short", inwards(partial(mended, total=length_that_came))
    ),
    "padding becomes data": Fault("padding is no data", inwards(partial(mended, total=len))),
    "takes everybody's frames": Fault("frame for somebody else", frames_in(to_us)),
    "takes any ether type": Fault(
        "frame of another type",
        frames_in(lambda _, f: f if f[12:14] == b"\x08\x06" else f[:12] + b"\x08\x00" + f[14:]),
    ),
    "a checksum of zero is none": Fault(
        "right checksum of zero",
        before(2, lambda p: Drop(Reason.WRONG_CHECKSUM) if p.header.checksum == 0 else p),
    ),
    # ways
    "time to live not lowered": Fault(
        "time to live lowered", fields(time_to_live=lambda h: h.time_to_live + 1)
    ),
    "time to live lowered by two": Fault(
        "time to live lowered", fields(time_to_live=lambda h: max(0, h.time_to_live - 1))
    ),
    "drops one hop early": Fault("time to live 2", before(3, dies_at_two)),
    "forwards with 1": Fault("time to live 1", lives_on(1)),
    "0 becomes 255": Fault("time to live 0", lives_on(0)),
    "time to live before the way": Fault(
        "way first, lifetime later", parts(lifetime_first_but_own)
    ),
    "time to live before all": Fault("lifetime is over, but arrived", parts(lifetime_first)),
    "own packets must live on": Fault("lifetime is over, but arrived", parts(lifetime_of_own)),
    "checksum left as it came": Fault(
        "checksum after the hop",
        fields(summed=False, checksum=lambda h: h._replace(
            time_to_live=h.time_to_live + 1).with_checksum().checksum),
    ),
    "carry forgotten": Fault(
        "checksum with a carry",
        fields(summed=False, checksum=lambda h: h._replace(
            time_to_live=h.time_to_live + 1).with_checksum().checksum + 0x0100 & 0xFFFF),
    ),
    "a shorter prefix wins": Fault("longest prefix", without_prefix(26)),
    "no host routes": Fault("host route", without_prefix(32)),
    "no way back over the same link": Fault("same interface", before(3, not_back)),
    "a default route out of nowhere": Fault("no route, no way", with_default),
    "frames to all": Fault(
        "frame to the next hop", frames_out(lambda s: [s._replace(frame=BROADCAST + s.frame[6:])])
    ),
    "old source card": Fault(
        "frame from the right card",
        frames_out(lambda s: [s._replace(frame=s.frame[:6] + OFFICE.hardware_address
                                         + s.frame[12:])]),
    ),
    "floods": Fault("only once", frames_out(flooded)),
    "sends twice": Fault("only once", frames_out(lambda s: [s, s])),
    "numbers packets anew": Fault("identification unchanged", fields(identification=1)),
    "clears the reserved flag": Fault(
        "reserved flag unchanged", fields(flags=lambda h: h.flags & 3)
    ),
    "clears the offset": Fault("offset unchanged", fields(fragment_offset=0)),
    "clears the type of service": Fault("type of service unchanged", fields(type_of_service=0)),
    "changes the text": Fault("payload unchanged", forwarded(lambda h, p: (h, p.upper()))),
    "puts its own source": Fault(
        "addresses unchanged",
        fields(source=lambda h: h.source ^ 0x20 if h.source == OFFICE.address else h.source),
    ),
    "last of two is a broadcast": Fault("last address of two", broadcasts_by({0xC00002FF})),
    "first of two is a broadcast": Fault("first address of two", broadcasts_by({0xC00002FE})),
    # special addresses
    "frames to all go on": Fault("frame to all", frames_in(broadcast_to_us)),
    "directed broadcasts go on": Fault(
        "to all of a far link", lambda i, r: library_router(i, r, directed_broadcasts=True)
    ),
    "a far broadcast is a host": Fault("to all of a far link", as_host(RADIO.prefix.last)),
    "a first address is a host": Fault(
        "to the first address of a link", as_host(RADIO.prefix.first)
    ),
    "broadcasts go on": Fault(
        "to all", let_through(2, lambda h, _: h.destination == 0xFFFFFFFF)
    ),
    "groups go on": Fault("to a group", let_through(2, lambda h, _: h.destination >> 28 == 14)),
    "loopback is a net": Fault("to loopback", to_net(127)),
    "net 0 is a net": Fault("to net 0", to_net(0)),
    "class E is a net": Fault("to class E", to_net(240)),
    "from loopback": Fault("from loopback", from_net(127)),
    "from net 0": Fault("from net 0", from_net(0)),
    "from groups": Fault("from a group", from_net(224)),
    "from class E": Fault("from class E", from_net(240)),
    "from all": Fault("from all", from_net(255)),
    "from a broadcast": Fault(
        "from a broadcast address", let_through(1, lambda h, _: h.source == QUAY.prefix.last)
    ),
    # neighbours
    "asks for the destination": Fault("asked for the next hop", parts(asks_for_destination)),
    "asks nobody": Fault(
        "a neighbour asked for",
        resolution(lambda e, p: (e._replace(destination=QUAY.hardware_address)
                                 if p.opcode == 1 else e, p)),
    ),
    "asks for somebody else": Fault(
        "asker's own addresses",
        resolution(lambda e, p: (e, p._replace(sender_protocol_address=CABLE.address)
                                 if p.opcode == 1 else p)),
    ),
    "lets no packet wait": Fault("packet waits for the answer", neighbours(forgets_waiting)),
    "asks for every packet": Fault("asked once a second", neighbours(asks_every_time)),
    "forgets at once": Fault("answer remembered", neighbours(asks_for_every_packet)),
    "answers for all": Fault("question for somebody else", hears(for_all)),
    "answers to all": Fault(
        "answer to the asker",
        resolution(lambda e, p: (e._replace(destination=BROADCAST), p)),
    ),
    "tells the asker's card": Fault(
        "answer's sender",
        resolution(lambda e, p: (e, p._replace(sender_hardware_address=p.target_hardware_address)
                                 if p.opcode == 2 else p)),
    ),
    "leaves the target empty": Fault(
        "answer's target",
        resolution(lambda e, p: (e, p._replace(target_hardware_address=bytes(6)))),
    ),
    "answers answers": Fault("no answer to an answer", hears(answer_is_question)),
    "answers any kind": Fault("question of another kind, octet 1", hears(any_kind)),
    "learns from all": Fault("nothing learnt from others", neighbours(learns_from_all)),
    "learns from answers only": Fault(
        "learnt from a question", neighbours(learns_from_answers_only)
    ),
    "neighbours never move": Fault("moved neighbour", neighbours(never_moves)),
    "believes group addresses": Fault("group address not believed", neighbours(believes_groups)),
    # packets for the router
    "drops the echo's data": Fault(
        "echo's data", own(message(lambda m, d: (m, b"")), errors=False)
    ),
    "starts echoes anew": Fault(
        "echo's numbers",
        own(message(lambda m, d: (m._replace(rest_of_header=1), d)), errors=False),
    ),
    "keeps the echo's checksum": Fault(
        "reply's checksum",
        own(lambda h, p: (h, p[:2] + (int.from_bytes(p[2:4], "big") - 0x0800 & 0xFFFF)
                          .to_bytes(2, "big") + p[4:]), errors=False),
    ),
    "answers here only": Fault("echo to a far interface", before(2, only_here)),
    "answers damaged echoes": Fault("damaged echo", service(1, answers_damaged)),
    "answers replies": Fault("no reply to a reply", service(1, answers_replies)),
    "answers everything": Fault(
        "message of unknown type: no reply", service(1, answers_all_messages)
    ),
    "refuses messages": Fault("message of unknown type: no error", service(1, refuses_messages)),
    # errors
    "quotes 8 octets": Fault("quote", own(message(lambda m, d: (m, d[:8])), errors=True)),
    "quotes all": Fault(
        "quote not too long",
        own(message(lambda m, d: (m, d.ljust(900, b"."))), errors=True),
    ),
    "quotes little": Fault(
        "quote as long as may be", own(message(lambda m, d: (m, d[:28])), errors=True)
    ),
    "errors from the far address": Fault(
        "error from the right address",
        own(lambda h, p: (h._replace(source=RADIO.address), p), errors=True),
    ),
    "errors live as long as the packet": Fault(
        "error's time to live", own(lambda h, p: (h._replace(time_to_live=1), p), errors=True)
    ),
    "sum over the header only": Fault(
        "error's checksum",
        own(lambda h, p: (h, p[:2] + checksum(p[:2] + bytes(2) + p[4:8]).to_bytes(2, "big")
                          + p[4:]), errors=True),
    ),
    "errors with a number": Fault(
        "unused octets are zero",
        own(message(lambda m, d: (m._replace(rest_of_header=m.rest_of_header or 7), d)),
            errors=True),
    ),
    "errors as any packet": Fault(
        "error goes first", own(lambda h, p: (h._replace(type_of_service=0), p), errors=True)
    ),
    "host instead of net": Fault(
        "no route is reported",
        own(message(lambda m, d: (m._replace(code=1) if m[:2] == (3, 0) else m, d)), errors=True),
    ),
    "errors without end": Fault(
        "errors are limited", lambda i, r: library_router(i, r, error_limit=ErrorLimit(1e9, 10**9))
    ),
    "no redirects": Fault("redirect", lambda i, r: library_router(i, r, redirects=False)),
    "redirects nets": Fault(
        "redirect",
        own(message(lambda m, d: (m._replace(code=0) if m.type == 5 else m, d)), errors=True),
    ),
    "tells about errors": Fault("about time exceeded", tells_about(is_an_error(11))),
    "tells about redirects": Fault("about a redirect", tells_about(is_an_error(5))),
    "tells about later fragments": Fault(
        "about a later fragment", tells_about(lambda p: p.header.fragment_offset > 0)
    ),
    "tells about frames to all": Fault(
        "about a frame to all",
        tells_about(lambda p: p.frame[0] & 1 and p.header.destination >> 24 == 203),
    ),
    "tells about broadcasts": Fault(
        "about a packet to all", tells_about(lambda p: p.header.destination == 0xFFFFFFFF)
    ),
    "tells about far broadcasts": Fault(
        "about a packet to all of a far link",
        tells_about(lambda p: p.header.destination == RADIO.prefix.last),
    ),
    "tells about groups": Fault(
        "about a packet to a group", tells_about(lambda p: p.header.destination >> 28 == 14)
    ),
    "tells about damaged headers": Fault(
        "about a wrong checksum",
        tells_about(lambda p: p.header.with_checksum().checksum != p.header.checksum),
    ),
    # options and fragments
    "takes options out": Fault("unknown option", forwarded(without_options)),
    "records the way in": Fault("route recorded", forwarded(records_way_in)),
    "offset in words": Fault("cut into fragments", cuts(of_each(offset_in_words))),
    "forgets that more follow": Fault("fragments are marked", cuts(of_each(never_more))),
    "one sum for all fragments": Fault("fragments' checksums", cuts(of_each(same_sum))),
    "numbers each fragment": Fault("fragments keep the header", cuts(of_each(own_numbers))),
    "cuts too small": Fault("few fragments", parts(cuts_small)),
    "last fragment first": Fault("fragments in order", cuts(lambda frames: frames[::-1])),
    "cuts what may not be cut": Fault("must not be cut", parts(cuts_what_may_not)),
    "does not say how much": Fault(
        "how much would have fitted",
        own(message(lambda m, d: (m._replace(rest_of_header=0) if m[:2] == (3, 4) else m, d)),
            errors=True),
    ),
    "never puts together": Fault("put together", parts(never_together)),
    "keeps pieces for ever": Fault("missing for too long", parts(no_patience)),
    "a piece is enough": Fault("a piece is missing", parts(last_piece_is_enough)),
}  # fmt: skip
