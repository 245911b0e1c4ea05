"""One link with a buffer in front of it: each packet's way from coming to leaving.

    packet comes -> drop it? -> its queue -> whose turn is it? -> drop it now? -> link -> left

The loop goes from event to event: a packet leaves the link, or a packet comes. Three rules:

* the buffer holds the packets that wait *and* the one that is being sent (as K does in M/M/1/K);
* if one packet leaves at the very time when another comes, it leaves first, and its room is free;
* a packet that has begun to be sent is sent to its end.

`simulate` is the way in; `serve` is the loop. Time and randomness come from the packets alone.
"""

__all__ = ["FATES", "PARTS", "Buffer", "Ledger", "QueueRun", "serve", "simulate"]

from typing import NamedTuple

import numpy as np

from course_lib.engine.compiled import ready
from course_lib.engine.machine_types import Counts, CountTable, Numbers
from course_lib.engine.rules import run_with_rules
from course_lib.queueing.checks import positive, whole
from course_lib.queueing.drop_policies import (
    TAIL_DROP,
    DropPolicy,
    DropRule,
    PacketView,
    codel_at_head,
    keep,
    red_on_arrival,
)
from course_lib.queueing.lines import NOBODY, Lines, empty_lines, join, leave
from course_lib.queueing.packets import Packets, checked
from course_lib.queueing.schedulers import (
    FIRST_COME,
    ChoiceRule,
    Heads,
    Scheduler,
    lowest_number,
    next_with_credit,
    only_queue,
)

FATES = ("sent", "no room", "dropped on arrival", "dropped at the head")
SENT, NO_ROOM, DROPPED_ON_ARRIVAL, DROPPED_AT_HEAD = range(4)


class Buffer(NamedTuple):
    """How much room there is, the packet being sent included. The default has no limit."""

    packets: int = 2**62
    octets: float = np.inf


class Ledger(NamedTuple):
    """The books after every event: when it was, and five counts.

    The columns of `counts`: came so far, left so far, dropped so far, waiting, being sent.
    """

    at_s: Numbers
    counts: CountTable


class PacketFates(NamedTuple):
    """What the loop fills in for each packet. A packet that was never sent never `began_s`."""

    fate: Counts
    began_s: Numbers
    left_s: Numbers


class QueueRun(NamedTuple):
    """A finished run. `fate` points into `FATES`; a dropped packet left when it was dropped."""

    packets: Packets
    link_bits_per_s: float
    fate: Counts
    began_s: Numbers
    left_s: Numbers
    ledger: Ledger


class Asked(NamedTuple):
    """Which of the two rules is asked at all; to ask one that always keeps would only take time."""

    on_arrival: bool
    at_head: bool


class Policy(NamedTuple):
    """What a rule may read (`settings`) and what it may change (`memory`)."""

    settings: Numbers
    memory: Numbers


def simulate(
    packets: Packets,
    link_bits_per_s: float,
    *,
    buffer: Buffer = Buffer(),  # noqa: B008 - immutable
    drop: DropPolicy = TAIL_DROP,
    scheduler: Scheduler = FIRST_COME,
    seed: int = 0,
    books: bool = False,
    compiled: bool | None = None,
) -> QueueRun:
    """Send the packets through the link until nothing is left, and tell what became of each.

    `seed` is for the chances that a drop policy takes, `books` asks for the ledger, `compiled` is
    as in `engine.compiled.ready`. The same arguments give the same run, to the last bit. Raises
    RuleError if a rule of your own fails; see `own_rules`.

    >>> from course_lib.queueing.packets import trace
    >>> five = trace([0.0] * 5, octets=1000)  # 1 s each
    >>> run = simulate(five, 8000, buffer=Buffer(packets=3), compiled=False)
    >>> [FATES[fate] for fate in run.fate]
    ['sent', 'sent', 'sent', 'no room', 'no room']
    """
    packets = checked(packets)  # once more, in case it was put together by hand

    def run(compiled: bool | None) -> QueueRun:
        total, queues = len(packets.came_s), _queues(scheduler, packets)
        outcome = PacketFates(
            np.full(total, NOBODY), np.full(total, np.nan), np.full(total, np.nan)
        )
        rows = 2 * total if books else 0
        asked = Asked(drop.on_arrival is not keep, drop.at_head is not keep)
        ledger = Ledger(np.zeros(rows), np.zeros((rows, 5), np.int64))
        events = ready(serve, compiled=compiled)(
            packets,
            np.random.default_rng(seed).random(total if any(asked) else 0),
            positive("link_bits_per_s", link_bits_per_s),
            _checked_buffer(buffer),
            ready(drop.on_arrival, DropRule, compiled=compiled),
            ready(drop.at_head, DropRule, compiled=compiled),
            asked,
            Policy(np.array(drop.settings, float), np.array(drop.memory, float)),
            ready(scheduler.choose, ChoiceRule, compiled=compiled),
            Policy(np.array(scheduler.settings, float), np.array(scheduler.memory, float)),
            empty_lines(queues, total),
            Heads(np.zeros(queues, np.int64), np.zeros(queues), np.zeros(queues)),
            outcome,
            ledger,
        )
        entered = Ledger(ledger.at_s[:events], ledger.counts[:events])
        return QueueRun(packets, float(link_bits_per_s), *outcome, entered)

    return run_with_rules(run, (drop.on_arrival, drop.at_head, scheduler.choose), compiled)


def serve(
    packets: Packets,
    chances: Numbers,
    link_bits_per_s: float,
    buffer: Buffer,
    on_arrival: DropRule,
    at_head: DropRule,
    asked: Asked,
    drop: Policy,
    choose: ChoiceRule,
    order: Policy,
    lines: Lines,
    heads: Heads,
    outcome: PacketFates,
    ledger: Ledger,
) -> int:
    """Fill in the outcome and, if it has rows, the ledger. Return the number of events."""
    # Taking tuples apart once, and not at each packet, makes the compiled loop twice as fast.
    (came_s, octets, flow), (fate, began_s, left_s), (at_s, books) = packets, outcome, ledger
    (settings, memory), (order_settings, order_memory) = drop, order
    many_queues = len(heads.waiting) > 1
    came, left, dropped, events = 0, 0, 0, 0
    held, held_octets = 0, 0.0  # in the buffer, with the packet on the link
    on_link, free_s, empty_since_s = NOBODY, 0.0, 0.0
    while came < len(came_s) or held > 0:
        if on_link != NOBODY and (came == len(came_s) or free_s <= came_s[came]):
            # A packet has left the link, and the buffer.
            now_s = free_s
            fate[on_link], left_s[on_link] = SENT, now_s
            held, held_octets, left = held - 1, held_octets - octets[on_link], left + 1
            on_link = NOBODY
            if held == 0:
                held_octets, empty_since_s = 0.0, now_s  # exactly 0: forget the rounding
        else:
            # A packet comes: is it let in?
            packet, now_s, size = came, came_s[came], octets[came]
            idle_s = now_s - empty_since_s if held == 0 else 0.0
            came += 1
            if asked.on_arrival and on_arrival(
                PacketView(now_s, size, 0.0, held, held_octets, idle_s, chances[packet]),
                settings,
                memory,
            ):
                fate[packet], left_s[packet], dropped = DROPPED_ON_ARRIVAL, now_s, dropped + 1
            elif held + 1 > buffer.packets or held_octets + size > buffer.octets:
                fate[packet], left_s[packet], dropped = NO_ROOM, now_s, dropped + 1
            else:
                held, held_octets = held + 1, held_octets + size
                queue = flow[packet] if many_queues else 0
                join(lines, queue, packet)
                _show_head(queue, lines, packets, heads)
        while on_link == NOBODY and held > 0:
            # The link is free: whose turn is it, and is that packet still wanted?
            queue = choose(heads, order_settings, order_memory) if many_queues else 0
            if not 0 <= queue < len(lines.length) or lines.length[queue] == 0:
                raise ValueError("the scheduler's rule chose a queue in which no packet waits")
            packet = leave(lines, queue)
            _show_head(queue, lines, packets, heads)
            size, others_octets = octets[packet], held_octets - octets[packet]
            waited_s = now_s - came_s[packet]
            if asked.at_head and at_head(
                PacketView(now_s, size, waited_s, held - 1, others_octets, 0.0, chances[packet]),
                settings,
                memory,
            ):
                fate[packet], left_s[packet], dropped = DROPPED_AT_HEAD, now_s, dropped + 1
                held, held_octets = held - 1, others_octets
                if held == 0:
                    held_octets, empty_since_s = 0.0, now_s
            else:
                on_link, began_s[packet] = packet, now_s
                free_s = now_s + size * 8 / link_bits_per_s
        if len(at_s) > 0:
            at_s[events] = now_s
            _enter(books[events], came, left, dropped, lines.length.sum(), on_link)
        events += 1
    return events


def _show_head(queue: int, lines: Lines, packets: Packets, heads: Heads) -> None:
    """Bring what schedulers see of a queue up to date."""
    heads.waiting[queue] = lines.length[queue]
    if lines.length[queue] > 0:
        first = lines.first[queue]
        heads.octets[queue], heads.came_s[queue] = packets.octets[first], packets.came_s[first]


def _enter(row: Counts, came: int, left: int, dropped: int, waiting: int, on_link: int) -> None:
    """Write a line of the ledger; `waiting` was counted in the queues themselves."""
    row[0], row[1], row[2], row[3] = came, left, dropped, waiting
    row[4] = 0 if on_link == NOBODY else 1


def _checked_buffer(buffer: Buffer) -> Buffer:
    octets = np.inf if buffer.octets == np.inf else positive("buffer.octets", buffer.octets)
    return Buffer(whole(1, "buffer.packets", buffer.packets), octets)


def _queues(scheduler: Scheduler, packets: Packets) -> int:
    queues, last_flow = whole(1, "queues", scheduler.queues), int(packets.flow.max())
    if 1 < queues <= last_flow:
        raise ValueError(f"flow {last_flow} has no queue: the scheduler has {queues}, from 0 on")
    return queues


# For `compiled.prepare`: the loop and all rules of this package.
PARTS = (
    (serve, None),
    *((rule, DropRule) for rule in (keep, red_on_arrival, codel_at_head)),
    *((rule, ChoiceRule) for rule in (only_queue, lowest_number, next_with_credit)),
)
