"""The library's router with errors, services and fragments that are not as they should be."""

from course_lib.conformance.bench import (
    CABLE,
    OFFICE,
    OWN_ADDRESSES,
    PLOVER,
    QUAY,
    RADIO,
)
from course_lib.forwarding.verdicts import Drop, Refuse
from course_lib.headers.errors import PacketError, Reason
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.transport import ICMPHeader
from course_lib.ip.icmp_errors import read_quote
from networks.spoiled_frames import CARDS, library_router
from networks.spoiled_stages import parts


def tells_about(test):
    """A router that tells also about packets that meet `test`, where a rule forbids it."""

    def change(router):
        make_error = router.slow_path.own_packets.error

        def talkative(about, kind, rest_of_header):
            if about.header is None or not test(about):
                return make_error(about, kind, rest_of_header)
            quiet = about.header
            asks = quiet._replace(
                source=OFFICE.address, destination=PLOVER.address, protocol=253, fragment_offset=0
            )
            frame = CARDS[about.arrived_on] + about.frame[6:]
            return make_error(about._replace(header=asks, frame=frame), kind, rest_of_header)

        router.slow_path.own_packets.error = talkative
        drop = router.fast_path.carry

        def carry(packet, stages):
            ended = drop(packet, stages)
            if ended is not None or packet.header is not None or stages is not router.stages:
                return ended
            return tell(router, packet, test)

        router.fast_path.carry = carry

    return parts(change)


def tell(router, packet, test):
    """Send a report of a packet that was dropped silently, if it meets the test."""
    try:
        header = IPv4Header.parse(packet.frame[14:])
    except PacketError:
        return None
    read = packet._replace(header=header, payload=header.payload(packet.frame[14:]))
    if packet.frame[12:14] != b"\x08\x00" or not test(read):
        return None
    told = router.slow_path.own_packets.error(read, (11, 0), 0)
    (sent,) = router.slow_path.carry_on(told, router.own_stages)
    return sent


def is_an_error(kind):
    return lambda about: about.header.protocol == 1 and about.payload[:1] == bytes([kind])


def service(protocol, answer):
    return parts(lambda router: router.services.update({protocol: answer}))


def answers_all_messages(packet):
    return ICMPHeader(0, 0, 0, 1).with_checksum(packet.payload[8:]).build() + packet.payload[8:]


def answers_replies(packet):
    message = ICMPHeader.parse(packet.payload)
    if message.type not in (0, 8):
        return Drop(Reason.NOT_UNDERSTOOD)
    return message._replace(type=0).with_checksum(packet.payload[8:]).build() + packet.payload[8:]


def answers_damaged(packet):
    message = ICMPHeader.parse(packet.payload)
    if message.type != 8:
        return Drop(Reason.NOT_UNDERSTOOD)
    return message._replace(type=0).with_checksum(packet.payload[8:]).build() + packet.payload[8:]


def refuses_messages(packet):
    if packet.payload[0] not in (0, 8):
        return Refuse(Reason.NO_SUCH_PROTOCOL)
    message = ICMPHeader.parse(packet.payload, verify_checksum=True)
    if message.type == 0:
        return Drop(Reason.NOT_UNDERSTOOD)
    return message._replace(type=0).with_checksum(packet.payload[8:]).build() + packet.payload[8:]


def only_here(packet):
    """Drop what is for one of our addresses, but not for the one of the link on which it came."""
    ours = {"quay": QUAY.address, "radio": RADIO.address, "cable": CABLE.address}
    is_far = packet.header.destination in OWN_ADDRESSES - {ours[packet.arrived_on]}
    return Drop(Reason.NO_ROUTE) if is_far else packet


def cuts(change):
    """A router that spoils fragments: `change` gets the list that it makes of one datagram."""

    def make(interfaces, routes):
        router = library_router(interfaces, routes)
        fit = router.slow_path._fit

        def wrong(packet, stages):
            frames = fit(packet, stages)
            is_cut = len(frames) > 1 and packet.header.source not in OWN_ADDRESSES
            return change(frames) if is_cut else frames

        router.slow_path._fit = wrong
        return router

    return make


def of_each(change):
    """A change of every fragment but those that it leaves as they are."""

    def all_of_them(frames):
        new = []
        for number, sent in enumerate(frames):
            header, payload = read_quote(sent.frame[14:])
            changed = change(number, number == len(frames) - 1, header)
            octets = changed.build() + payload
            new.append(sent._replace(frame=sent.frame[:14] + octets))
        return new

    return all_of_them


def offset_in_words(number, is_last, header):
    return header._replace(fragment_offset=header.fragment_offset * 2).with_checksum()


def never_more(number, is_last, header):
    return header._replace(flags=header.flags & ~1).with_checksum()


def same_sum(number, is_last, header):
    return header._replace(checksum=0x1234)


def own_numbers(number, is_last, header):
    return header._replace(identification=header.identification + number).with_checksum()


def cuts_small(router):
    """A router that cuts for a link of 200 octets, where 576 would fit."""
    fit = router.slow_path._fit
    narrow = {**router.interfaces, "radio": router.interfaces["radio"]._replace(mtu=200)}

    def small(packet, stages):
        is_large = packet.header.total_length > 576 and packet.header.source not in OWN_ADDRESSES
        router.slow_path.interfaces = narrow if is_large else router.interfaces
        return fit(packet, stages)

    router.slow_path._fit = small


def cuts_what_may_not(router):
    rewrite = router.stages[3]

    def careless(packet):
        header = packet.header
        if header.total_length > 576 and header.flags & 2:
            free = header._replace(flags=header.flags & ~2).with_checksum()
            return rewrite(packet._replace(header=free))
        return rewrite(packet)

    router.stages[3] = careless


def without_options(header, payload):
    new = header._replace(options=b"", total_length=20 + len(payload))
    return new.with_checksum(), payload


def records_way_in(header, payload):
    if header.options[:1] != b"\x07" or header.options[2] < 8 or header.options[1] == 7:
        return header, payload
    options = header.options[:3] + QUAY.address.to_bytes(4, "big") + header.options[7:]
    return header._replace(options=options).with_checksum(), payload


def fixed(packet, **changes):
    return packet._replace(header=packet.header._replace(**changes).with_checksum())


def never_together(router):
    router.slow_path._reassembler.take = lambda packet: None


def no_patience(router):
    router.slow_path._reassembler.tick = lambda now_s: []
    router.slow_path._reassembler.next_tick_s = lambda: float("inf")


def last_piece_is_enough(router):
    """Put a datagram together as soon as its first and its last piece are there."""
    take, first = router.slow_path._reassembler.take, []

    def hasty(packet):
        whole = take(packet)
        if whole is None and packet.header.flags & 1 == 0 and first:
            return fixed(first[0], flags=0)._replace(payload=first[0].payload + packet.payload)
        first.extend([packet] if packet.header.fragment_offset == 0 else [])
        return whole

    router.slow_path._reassembler.take = hasty
    router.services[1] = answers_damaged
