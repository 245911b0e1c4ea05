"""What senders, receivers, segments, link and clock remember: the state of a run, and nothing else.

The names on the right are those of the RFCs. Packets of a flow are numbered from 0; "one past"
means the number of the packet that would come next. Times are whole nanoseconds, so that two things
are at the same time or they are not, on every machine. `NOBODY` stands for "no packet", `NEVER` for
"at no time".

Records are changed by the loop (see `records`). Those of ten thousand flows do not fit into the
processor's near memory, and fetching them would take most of the time. So what is needed together
lies together, and numbers that stay small are `Short`. `State` bundles all records; `Net`, which
the parts of the loop are given, adds the rules of the drop policy.
"""

__all__ = [
    "ECHO",
    "MARKED",
    "NEVER",
    "NOBODY",
    "REDUCED",
    "RESENT",
    "SECOND",
    "Bottleneck",
    "Clock",
    "Net",
    "Receiver",
    "Rows",
    "Rules",
    "Segment",
    "Sender",
    "State",
]

from dataclasses import dataclass
from typing import NamedTuple

from course_lib.engine.machine_types import Counts, Numbers
from course_lib.engine.records import Short, Shorts
from course_lib.queueing.drop_policies import DropRule

NOBODY = -1
SECOND = 10**9  # nanoseconds
NEVER = 2**62

# What a packet or an acknowledgement bears, added up (the last three: RFC 3168).
RESENT, MARKED, REDUCED, ECHO = 1, 2, 4, 8


@dataclass(slots=True)
class Segment:
    """A place for one thing at a time, and `behind`, the next in the same list.

    A packet with a segment, which waits or is being sent; an acknowledgement on its way, for the
    packet so many behind the one that is `missing`; an alarm; a run of so many `missing` packets
    that a receiver lacks, from `number` on; or nothing.
    """

    at_ns: int = 0  # when it came, or when it is due
    number: int = 0
    flow: Short = 0
    behind: Short = NOBODY
    marks: Short = 0
    missing: Short = 0


@dataclass(slots=True)
class Sender:
    """One flow's sender. What each acknowledgement needs comes first: 128 octets."""

    # What has been sent (RFC 9293, section 3.3.1).
    unacked: int = 0  # SND.UNA: the first that is not acknowledged
    to_send: int = 0  # SND.NXT: the next to send; falls back after a time-out
    top: int = 0  # one past the highest ever sent
    # How much may be under way (RFC 5681), in packets.
    window: float = 0.0  # cwnd
    threshold: float = 2.0**62  # ssthresh
    # The retransmission timer (RFC 6298).
    due_ns: int = NEVER
    timeout_ns: int = SECOND  # RTO
    timed: int = NOBODY  # the packet whose round trip is being measured
    timed_ns: int = 0
    sent: int = 0  # counted for the results, like the last ones
    acks: int = 0
    cubic: Short = 0  # 1: CUBIC, 0: Reno
    expiries: Short = 0  # of the timer, in a row
    announce: Short = 0  # 1: the next new packet says that the window has shrunk (RFC 3168)
    # Repair (RFC 6582).
    recovering: Short = 0
    duplicates: Short = 0  # acknowledgements of the same number, one after the other
    extra: Short = 0  # packets sent on the first two of them (RFC 3042)
    partials: Short = 0
    books: Short = 0  # 1: something is missing, and what follows on that is kept up to date
    recover: int = -1  # one past the highest sent when the last repair began
    reacted: int = -1  # one past the highest sent when the window last shrank
    # Selective acknowledgements (RFC 6675): what the receiver holds, lacks, and gets once more.
    seen: int = 0  # one past the highest that is known to have come
    lost_below: int = 0  # what is missing below is taken for lost
    repair: int = 0  # HighRxt + 1: what is missing below was sent again
    second: Short = 0  # how far the second highest that came lies below the highest
    third: Short = 0
    held: Short = 0  # packets that the receiver has, though one before them is missing
    given_up: Short = 0  # packets that are taken for lost
    again: Short = 0  # packets that were sent again and are still missing
    first_missing: Short = NOBODY
    last_missing: Short = NOBODY
    # The round trips that were measured (RFC 6298).
    smoothed_ns: float = 0.0  # SRTT
    variation_ns: float = 0.0  # RTTVAR
    # CUBIC (RFC 9438, section 4.1.2), windows in packets.
    peak: float = 0.0  # W_max
    prior: float = 0.0  # cwnd_prior
    estimate: float = 0.0  # W_est: what Reno would have
    epoch_ns: int = NOBODY  # t_epoch
    climb_s: float = 0.0  # K: from the start of the epoch to the peak
    # Counted for the results.
    resent: int = 0
    dropped: int = 0
    marked: int = 0
    lost: int = 0  # on the way behind the link
    timeouts: int = 0
    fast_retransmits: int = 0
    ecn_reductions: int = 0


@dataclass(slots=True)
class Receiver:
    """One flow's receiver, and its path. Missing packets are a list of runs in rising order."""

    round_trip_ns: int = 0
    seen: int = 0  # one past the highest that came
    due_ns: int = NEVER  # when a packet that is pending must be acknowledged
    first_missing: Short = NOBODY
    last_missing: Short = NOBODY
    pending: Short = 0  # 1: a packet came and is not acknowledged yet
    clock_set: Short = 0
    echo: Short = 0  # 1: acknowledgements carry the congestion mark back
    # Counted for the results.
    carried: int = 0  # packets that left the link
    delivered: int = 0  # packets that were new


@dataclass(slots=True)
class Bottleneck:
    """The link, the packets that wait for it, and the counts by which chance and loss go."""

    packet_ns: int = 0  # to send one packet
    buffer_packets: int = 0  # room for those that wait
    octets: float = 0.0  # of one packet
    first: int = NOBODY  # of those that wait
    last: int = NOBODY
    waiting: int = 0
    on_link: int = NOBODY
    free_ns: int = NEVER  # when the one on the link has left
    empty_since_ns: int = 0
    changed_ns: int = 0  # when the number in the system last changed
    left: int = 0  # packets that have left the link
    dropped: int = 0  # packets that the buffer has dropped
    next_lost: int = 0  # place in the row of those that get lost
    asked: int = 0  # chances used up


@dataclass(slots=True)
class Clock:
    """The time, the timing wheel, and the packets that are not in use."""

    started: int = 0
    now_ns: int = 0
    slot_bits: int = 0  # a slot is 2**slot_bits nanoseconds wide
    slot_mask: int = 0
    cursor: int = 0  # the slot up to which nothing is due
    free: int = NOBODY  # first of the unused packets
    unused: int = 0
    next_sample_ns: int = 0
    samples: int = 0
    dice: int = 0  # the last number drawn: below 2**31


@dataclass(slots=True)
class Rules:
    """What holds for all flows."""

    delayed_acks: int = 0
    sack: int = 0
    noticing_ns: int = 0  # the longest that a sender takes to notice an acknowledgement
    ecn: int = 0
    initial_window: int = 0
    largest_window: int = 0
    shortest_timeout_ns: int = 0
    ask_on_arrival: int = 0
    ask_at_head: int = 0
    sample_ns: int = 0
    watched: int = 0


class Rows(NamedTuple):
    """Rows of plain numbers."""

    slots: Shorts  # of the timing wheel: the first packet in each
    lost: Counts  # which packets get lost, counted as they leave the link; ends with NEVER
    chances: Numbers
    in_system_ns: Counts  # how long so many packets waited or were being sent
    waits: Counts  # how many packets waited so many steps
    settings: Numbers  # of the drop policy
    memory: Numbers


class State(NamedTuple):
    """All that a run changes. Packet i is the alarm of sender i, flows + i that of receiver i."""

    senders: list[Sender]
    receivers: list[Receiver]
    packets: list[Segment]
    link: Bottleneck
    clock: Clock
    rules: Rules
    rows: Rows


class Net(NamedTuple):
    """The state and the two rules of the drop policy: what the parts of the loop are given."""

    senders: list[Sender]
    receivers: list[Receiver]
    packets: list[Segment]
    link: Bottleneck
    clock: Clock
    rules: Rules
    rows: Rows
    on_arrival: DropRule
    at_head: DropRule
