"""Frames of every kind for North Pier, and routers there with stages and queues of other people."""

from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS, Arrival, north_pier
from course_lib.forwarding.queue import Queue
from course_lib.forwarding.verdicts import Drop, Refuse
from course_lib.headers.errors import Reason
from course_lib.headers.ethernet import ARPPacket, EthernetHeader
from course_lib.headers.ipv4 import IPv4Header
from course_lib.prefixes.text import parse_address

INTERFACES = tuple(north_pier().interfaces)
DESTINATIONS = (
    "198.51.100.66", "198.51.100.98", "203.0.113.2", "203.0.113.200", "198.51.100.1",
    "198.51.100.2", "198.51.100.3", "198.51.100.31", "255.255.255.255", "192.0.2.6",
)  # fmt: skip
OPTIONS = tuple(
    bytes.fromhex(octets)
    for octets in ("", "0707040000000000", "00000000", "8307040102030400", "07030900", "07ff0000")
)


@st.composite
def datagram_frames(draw):
    """Return the arrival of a datagram; its header is sound, and what it asks for may be odd."""
    interface = draw(st.sampled_from(INTERFACES))
    options, data = draw(st.sampled_from(OPTIONS)), bytes(draw(st.sampled_from((0, 8, 600, 1400))))
    header = IPv4Header(
        0, 20 + len(options) + len(data), 7, draw(st.sampled_from((0, 0, 1, 2))),
        draw(st.sampled_from((0, 0, 3))), draw(st.sampled_from((0, 1, 2, 64))),
        draw(st.sampled_from((1, 6, 17))), 0, parse_address("198.51.100.2"),
        parse_address(draw(st.sampled_from(DESTINATIONS))), options,
    ).with_checksum()  # fmt: skip
    ours = north_pier().interfaces[interface].hardware_address
    ethernet = EthernetHeader(ours, bytes.fromhex("00005e005313"), 0x0800)
    frame = ethernet.build() + header.build() + data
    return Arrival(interface, frame[: draw(st.sampled_from((len(frame), len(frame), 40)))])


def _resolution_reply():
    """Return the answer of Gull Rock, for whose address packets may wait."""
    name, station = "to Gull Rock", bytes.fromhex("00005e005306")
    link = north_pier().interfaces[name]
    answer = ARPPacket(
        2, station, parse_address("192.0.2.6"), link.hardware_address, link.address
    ).build()
    return Arrival(name, EthernetHeader(link.hardware_address, station, 0x0806).build() + answer)


arrivals = st.one_of(
    datagram_frames(),
    datagram_frames(),
    st.sampled_from([*ARRIVALS.values(), _resolution_reply()]),
    st.binary(max_size=60).map(lambda frame: Arrival(INTERFACES[0], frame)),
)


def stage_that_answers(answers):
    """Return a stage with a list of answers for its packets; "go on" hands the packet on."""
    left = iter(answers)

    def own(packet):
        answer = next(left, "go on")
        return packet if answer == "go on" else answer

    return own


ANSWERS = st.sampled_from(
    ["go on", "go on", Drop(Reason.FILTERED), Refuse(Reason.FILTERED), None, 7]
)
# Another reason than above, since a sum of two for one reason is not told apart by packets.
OWN_ANSWERS = st.sampled_from(
    ["go on", "go on", Drop(Reason.QUEUE_FULL), Refuse(Reason.QUEUE_FULL)]
)


@st.composite
def routers(draw):
    """Return North Pier, perhaps with a slow line, a stage of somebody's own, a guard of errors."""
    router = north_pier()
    if draw(st.booleans()):
        rates = {name: draw(st.sampled_from((1e3, 1e6))) for name in INTERFACES}
        router.stages[4] = router.own_stages[0] = Queue(rates, draw(st.sampled_from((0, 1, 100))))
    if draw(st.booleans()):
        stage = stage_that_answers(draw(st.lists(ANSWERS, max_size=6)))
        router.stages.insert(draw(st.integers(0, 6)), stage)
    if draw(st.booleans()):
        guard = stage_that_answers(draw(st.lists(OWN_ANSWERS, max_size=6)))
        router.own_stages.insert(draw(st.integers(0, 1)), guard)
    return router
