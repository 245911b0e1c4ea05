"""What a run starts from: the arguments, checked, and memory for all that the loop changes.

The loop asks for no memory. How much it will need can be told beforehand, but for rare cases: if
packets, chances or losses run out, the same run starts again with twice as much.
"""

__all__ = ["Plan", "Size", "Tcp", "checked_tcp", "likely_size", "make_samples", "make_state"]

from typing import NamedTuple

import numpy as np

from course_lib.engine.machine_types import Counts, Numbers
from course_lib.engine.records import numbers, record, rows, set_column
from course_lib.queueing.checks import chance, positive, whole
from course_lib.queueing.drop_policies import DropPolicy
from course_lib.tcp.loop import Samples
from course_lib.tcp.receivers import DELAY_NS
from course_lib.tcp.state import (
    NOBODY,
    SECOND,
    Bottleneck,
    Clock,
    Receiver,
    Rows,
    Rules,
    Segment,
    Sender,
    State,
)
from course_lib.tcp.traffic import Flows, Loss, lost_numbers

_MOST_SLOTS = 2**22
# How much memory is likely to do. It was tried in 60 runs: 1 to 1000 flows, 1 Mbit/s to 1 Gbit/s,
# three drop policies. The places did in all of them, the chances in 58; the other two runs started
# again with twice as many. A packet needs a place while it waits, and as an acknowledgement on its
# way; each run of packets that a receiver lacks needs one more.
_PLACES_A_PACKET = 3  # for each that can be under way: itself, and a gap before it at either end
_PLACES_A_FLOW = 8  # 7.6 were used besides by the ten flows that had most gaps
_PLACES_MORE = 100  # for runs of very few packets
_ASKED_A_PACKET = 1.3  # arrivals for each packet that the link can carry; mostly below 1.2
_ASKED_MORE = 1000  # for runs so short that the first windows are the most of it
_LOSSES = 4096
_LARGEST_WINDOW = 2**30  # octets are the most that TCP allows (RFC 7323, section 2.3)


class Tcp(NamedTuple):
    """What all senders and receivers have in common. The defaults are those of the RFCs."""

    packet_octets: float = 1500
    delayed_acks: bool = False  # RFC 5681, section 4.2
    initial_window: int = 3  # RFC 5681, section 3.1
    largest_window: int = 2**30  # packets: what the receiver has room for
    shortest_timeout_s: float = 1.0  # RFC 6298, (2.4); common practice is 0.2 s
    sack: bool = True  # RFC 2018 and RFC 6675; without it, RFC 6582
    noticing_packets: float = 1.0  # how long a sender may take to notice: packets on the link


class Size(NamedTuple):
    """How much memory a run needs: packets, chances, losses, slots of the timing wheel."""

    packets: int
    chances: int
    losses: int
    slot_bits: int
    slots: int


class Plan(NamedTuple):
    """The arguments of `simulate_tcp`, checked, with times in nanoseconds."""

    flows: Flows
    link_bits_per_s: float
    packet_octets: float
    packet_ns: int
    buffer_packets: int
    from_ns: int
    to_ns: int
    drop: DropPolicy
    loss: Loss
    rules: Rules
    seed: int
    compiled: bool


def checked_tcp(tcp: Tcp) -> Tcp:
    """Return the settings if they can be. Raises ValueError or TypeError."""
    return Tcp(
        positive("tcp.packet_octets", tcp.packet_octets),
        bool(tcp.delayed_acks),
        whole(1, "tcp.initial_window", tcp.initial_window),
        min(whole(1, "tcp.largest_window", tcp.largest_window), _LARGEST_WINDOW),
        positive("tcp.shortest_timeout_s", tcp.shortest_timeout_s),
        bool(tcp.sack),
        chance("tcp.noticing_packets", tcp.noticing_packets),
    )


def likely_size(plan: Plan) -> Size:
    """Return how much memory will do, unless very much gets lost at once."""
    flows = len(plan.flows.round_trip_s)
    trip_ns = round(float(plan.flows.round_trip_s.max()) * SECOND)
    ahead_ns = max(trip_ns, DELAY_NS, plan.rules.shortest_timeout_ns) + plan.rules.noticing_ns
    bits = plan.packet_ns.bit_length() - 1  # slots half as wide as a packet takes, or a bit wider
    while (ahead_ns >> bits) + 2 > _MOST_SLOTS:
        bits += 1
    slots = 1 << ((ahead_ns >> bits) + 2).bit_length()
    under_way = plan.buffer_packets + trip_ns // plan.packet_ns
    asks = plan.rules.ask_on_arrival + plan.rules.ask_at_head
    chances = asks * round(_ASKED_A_PACKET * plan.to_ns / plan.packet_ns + _ASKED_MORE)
    places = _PLACES_A_PACKET * under_way + _PLACES_A_FLOW * flows + _PLACES_MORE
    return Size(places, chances, _LOSSES, bits, slots)


def make_state(plan: Plan, size: Size) -> State:
    """Return senders that have not started, and an empty link."""
    compiled, count, drop = plan.compiled, len(plan.flows.round_trip_s), plan.drop
    chances, lost = _drawn(plan, size)
    # One place for each number of packets in the system, and for each step of waiting.
    in_system = np.zeros(plan.buffer_packets + 2, np.int64)
    steps = ((plan.buffer_packets + 2) * plan.packet_ns >> size.slot_bits) + 1
    slots = np.full(size.slots, NOBODY, np.int32)
    changed = (slots, lost, chances, in_system, np.zeros(steps, np.int64))
    looped = (numbers(row, compiled=compiled) for row in changed)
    given = (*looped, np.array(drop.settings, float), np.array(drop.memory, float))
    link = Bottleneck(plan.packet_ns, plan.buffer_packets, plan.packet_octets)
    clock = Clock(slot_bits=size.slot_bits, slot_mask=size.slots - 1, dice=_first_throw(plan))
    return State(
        _senders(plan),
        _receivers(plan),
        rows(Segment, 2 * count + size.packets, compiled=compiled),
        record(link, compiled=compiled),
        record(clock, compiled=compiled),
        record(plan.rules, compiled=compiled),
        Rows(*given),
    )


def make_samples(plan: Plan) -> Samples:
    """Return rows for as many samples as there will be."""
    count = plan.to_ns // plan.rules.sample_ns + 1
    tables = (np.zeros(count * plan.rules.watched) for _ in range(2))
    given = (
        np.zeros(count, np.int64), *tables, np.zeros(count),
        np.zeros(count, np.int64), np.zeros(count, np.int64),
    )  # fmt: skip
    return Samples(*(numbers(row, compiled=plan.compiled) for row in given))


def _senders(plan: Plan) -> list[Sender]:
    flows = plan.flows
    senders = rows(Sender, len(flows.round_trip_s), compiled=plan.compiled)
    set_column(senders, "cubic", flows.cubic)
    set_column(senders, "due_ns", np.rint(flows.start_s * SECOND).astype(np.int64))
    set_column(senders, "timeout_ns", max(SECOND, plan.rules.shortest_timeout_ns))
    return senders


def _receivers(plan: Plan) -> list[Receiver]:
    trips_ns = np.rint(plan.flows.round_trip_s * SECOND).astype(np.int64)
    receivers = rows(Receiver, len(trips_ns), compiled=plan.compiled)
    set_column(receivers, "round_trip_ns", trips_ns)
    return receivers


def _first_throw(plan: Plan) -> int:
    return int(np.random.default_rng([plan.seed, 2]).integers(2**31))


def _drawn(plan: Plan, size: Size) -> tuple[Numbers, Counts]:
    """Draw the chances for the drop policy, and the packets that get lost behind the link."""
    for_policy, for_loss = (np.random.default_rng([plan.seed, use]) for use in range(2))
    return for_policy.random(size.chances), lost_numbers(plan.loss, size.losses, for_loss)
