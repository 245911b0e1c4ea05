"""The library's router with a stage that does not do what it should."""

from course_lib.conformance.bench import (
    DEFAULT_ROUTE,
    OWN_ADDRESSES,
    PLOVER,
)
from course_lib.forwarding.verdicts import Drop, Refuse
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ipv4 import IPv4Header
from networks.spoiled_frames import library_router

# ---- faults in parts of the router ----------------------------------------------------------


def parts(change, **options):
    """A router in which `change` has exchanged something."""

    def make(interfaces, routes):
        router = library_router(interfaces, routes, **options)
        return change(router) or router

    return make


def before(place, stage):
    """A router with one more stage in front of the stage at `place`."""
    return parts(lambda router: router.stages.insert(place, stage))


def let_through(place, test, interface="radio", next_hop=PLOVER.address):
    """A router that sends what meets `test` by radio, where the stage at `place` would stop it."""

    def change(router):
        stage = router.stages[place]

        def lenient(packet):
            try:
                header = packet.header or IPv4Header.parse(packet.frame[14:])
            except PacketError:
                return stage(packet)
            if not test(header, packet):
                return stage(packet)
            data = header.payload(packet.frame[14:])
            read = packet._replace(header=header, payload=data)
            return read if place == 1 else read._replace(leaves_on=interface, next_hop=next_hop)

        router.stages[place] = lenient

    return parts(change)


def from_net(octet):
    return let_through(1, lambda header, _: header.source >> 24 == octet)


def to_net(octet):
    """A router that takes this net for any other: neither validate nor decide stops it."""

    def change(router):
        validate, decide = router.stages[1:3]

        def lenient_validate(packet):
            header = IPv4Header.parse(packet.frame[14:])
            if header.destination >> 24 != octet:
                return validate(packet)
            return packet._replace(header=header, payload=header.payload(packet.frame[14:]))

        def lenient_decide(packet):
            if packet.header.destination >> 24 != octet:
                return decide(packet)
            return packet._replace(leaves_on="radio", next_hop=PLOVER.address)

        router.stages[1:3] = [lenient_validate, lenient_decide]

    return parts(change)


def lifetime_first(router):
    """Rewrite's look at the time to live stands in front of decide."""

    def check(packet):
        return Refuse(Reason.TIME_EXCEEDED) if packet.header.time_to_live <= 1 else packet

    router.stages.insert(2, check)


def lifetime_first_but_own(router):
    def check(packet):
        is_own = packet.header.destination in OWN_ADDRESSES
        is_over = packet.header.time_to_live <= 1 and not is_own
        return Refuse(Reason.TIME_EXCEEDED) if is_over else packet

    router.stages.insert(2, check)


def lifetime_of_own(router):
    def check(packet):
        is_own = packet.header.destination in OWN_ADDRESSES
        is_over = packet.header.time_to_live <= 1 and is_own
        return Drop(Reason.TIME_EXCEEDED) if is_over else packet

    router.stages.insert(2, check)


def lives_on(least):
    """A router that forwards with a time to live from `least` on, and counts round below zero."""

    def change(router):
        rewrite = router.stages[3]

        def lenient(packet):
            header = packet.header
            if least <= header.time_to_live <= 1:
                left = (header.time_to_live - 1) & 0xFF
                return packet._replace(header=header._replace(time_to_live=left).with_checksum())
            return rewrite(packet)

        router.stages[3] = lenient

    return parts(change)


def dies_at_two(packet):
    return Refuse(Reason.TIME_EXCEEDED) if packet.header.time_to_live == 2 else packet


def without_prefix(length):
    """A router that never learnt routes of this length."""

    def make(interfaces, routes):
        return library_router(interfaces, [one for one in routes if one[0].length != length])

    return make


def with_default(interfaces, routes):
    return library_router(interfaces, [*routes, DEFAULT_ROUTE])


def broadcasts_by(broadcasts):
    """A router that takes these addresses of every link for broadcasts."""

    def stage(packet):
        return (
            Drop(Reason.DIRECTED_BROADCAST) if packet.header.destination in broadcasts else packet
        )

    return before(2, stage)


def as_host(address):
    def change(router):
        router.decide._special.discard(address)
        for each in router.neighbours.values():
            each._known.pop(address, None)

    return parts(change)


def not_back(packet):
    return Drop(Reason.NO_ROUTE) if packet.leaves_on == packet.arrived_on else packet


def asks_for_destination(router):
    decide = router.stages[2]

    def wrong(packet):
        decided = decide(packet)
        if getattr(decided, "next_hop", None) is None:
            return decided
        return decided._replace(next_hop=packet.header.destination)

    router.stages[2] = wrong
