"""TCP flows that share one link: how full it gets, how long packets wait, how much is lost.

    senders -> buffer -> link -> receivers -> senders

Packets are at the buffer at once; the whole delay of a flow's path lies behind the link. All
packets have the same size, and acknowledgements have none. Time is in whole nanoseconds.

`buffer_packets` is the room for packets that *wait*; the one being sent comes on top. (In
`queueing.one_queue` the buffer holds it too.)

`simulate_tcp` is the way in. Read on in `loop`, then `senders`, `windows`, `receivers` and
`bottleneck`; `timing_wheel` keeps the events in order. A compiled run has its state in machine
memory, a plain one in objects and lists (see `engine.records`): the loop is the same, and so are
the numbers.

With selective acknowledgements (RFC 6675), as by default, all losses of a window are repaired in a
round trip or two. Without, by RFC 6582, each costs a round trip, and many of them a time-out. And a
sender takes a moment to notice an acknowledgement, by chance below the time of a packet: it keeps a
few flows out of a rhythm that no real ones have. `Tcp(noticing_packets=0)` makes it a clockwork.

Real routers: carry acknowledgements in the other direction, which may be late or lost as well.
"""

__all__ = ["PARTS", "FlowCounts", "Scenario", "Tcp", "TcpRun", "Trace", "simulate_tcp"]

from collections.abc import Callable, Sequence
from dataclasses import KW_ONLY, dataclass, replace
from functools import wraps
from inspect import signature
from typing import Any, NamedTuple, ParamSpec, TypeAlias

import numpy as np

from course_lib.engine.compiled import engine, ready
from course_lib.engine.machine_types import Counts, Numbers
from course_lib.engine.records import column, field_of, set_column
from course_lib.engine.rules import run_with_rules
from course_lib.queueing.checks import at_least, positive, whole
from course_lib.queueing.drop_policies import (
    TAIL_DROP,
    DropPolicy,
    DropRule,
    codel_at_head,
    keep,
    red_on_arrival,
)
from course_lib.tcp.loop import Samples, advance
from course_lib.tcp.memory import (
    Plan,
    Size,
    Tcp,
    checked_tcp,
    likely_size,
    make_samples,
    make_state,
)
from course_lib.tcp.receivers import DELAY_NS
from course_lib.tcp.state import SECOND, Receiver, Rules, Sender, State
from course_lib.tcp.traffic import NO_LOSS, Flows, Loss, checked

Told = ParamSpec("Told")
NumberTable: TypeAlias = np.ndarray[tuple[int, int], np.dtype[np.float64]]

_SAMPLES = 1000
_LONGEST_S = 1e6
_SHORTEST_NS = 10  # for one packet: below that, whole nanoseconds are too coarse


class FlowCounts(NamedTuple):
    """What was counted between `from_s` and `to_s`, with an entry for each flow.

    `dropped` is the buffer's doing; `lost` happened behind the link, which had `carried` it.
    `delivered` are packets that the receiver did not have yet.
    """

    sent: Counts
    resent: Counts
    dropped: Counts
    marked: Counts
    lost: Counts
    carried: Counts
    delivered: Counts
    timeouts: Counts
    fast_retransmits: Counts
    ecn_reductions: Counts
    acks: Counts


class Trace(NamedTuple):
    """Samples at equal distances, from 0 s on. Tables have a row for each sample.

    `windows` and `thresholds` are those of the first few flows, in packets; `window_sum` is of all.
    `left` counts the packets that have left the link so far, `dropped` what the buffer has dropped.
    """

    at_s: Numbers
    waiting: Counts
    windows: NumberTable
    thresholds: NumberTable
    window_sum: Numbers
    left: Counts
    dropped: Counts


class TcpRun(NamedTuple):
    """A finished run; `results` reads it.

    `waiting_s[k]` is for how long k packets waited, of which `idle_s` with nothing being sent
    either. `waits[i]` counts the packets that waited between i and i + 1 times `wait_step_s`.
    """

    flows: Flows
    link_bits_per_s: float
    buffer_packets: int
    packet_octets: float
    from_s: float
    to_s: float
    per_flow: FlowCounts
    idle_s: float
    waiting_s: Numbers
    waits: Counts
    wait_step_s: float
    trace: Trace


@dataclass(frozen=True)
class Scenario:
    """What `simulate_tcp` is told, as it is told."""

    flows: Flows
    link_bits_per_s: float
    buffer_packets: int
    _: KW_ONLY
    to_s: float = 60.0
    from_s: float = 0.0
    drop: DropPolicy = TAIL_DROP
    ecn: bool = False
    loss: Loss = NO_LOSS
    tcp: Tcp = Tcp()  # noqa: RUF009 - immutable
    sample_s: float | None = None
    watched: int = 10
    seed: int = 0
    compiled: bool | None = None

    def plan(self) -> Plan:
        """Return it checked, with times in nanoseconds. Raises ValueError or TypeError."""
        end_s = _run_length(self.to_s)
        if at_least(0, "from_s", self.from_s) >= end_s:
            raise ValueError(f"from_s ({self.from_s:g}) must be below to_s ({end_s:g})")
        tcp = checked_tcp(self.tcp)
        packet_ns = _packet_ns(self.link_bits_per_s, tcp.packet_octets)
        step_s = end_s / _SAMPLES
        if self.sample_s is not None:
            step_s = positive("sample_s", self.sample_s)
        return Plan(
            flows=checked(self.flows),
            link_bits_per_s=float(self.link_bits_per_s),
            packet_octets=tcp.packet_octets,
            packet_ns=packet_ns,
            buffer_packets=whole(0, "buffer_packets", self.buffer_packets),
            from_ns=round(self.from_s * SECOND),
            to_ns=round(end_s * SECOND),
            drop=self.drop,
            loss=self.loss,
            rules=Rules(
                delayed_acks=int(tcp.delayed_acks),
                sack=int(tcp.sack),
                noticing_ns=min(int(tcp.noticing_packets * packet_ns), DELAY_NS),
                ecn=int(bool(self.ecn)),
                initial_window=tcp.initial_window,
                largest_window=tcp.largest_window,
                shortest_timeout_ns=round(tcp.shortest_timeout_s * SECOND),
                ask_on_arrival=int(self.drop.on_arrival is not keep),
                ask_at_head=int(self.drop.at_head is not keep),
                sample_ns=max(1, round(step_s * SECOND)),
                watched=min(whole(0, "watched", self.watched), len(self.flows.round_trip_s)),
            ),
            seed=whole(0, "seed", self.seed),
            compiled=engine().compiled if self.compiled is None else self.compiled,
        )


def _told(
    scenario: Callable[Told, Scenario],
) -> Callable[[Callable[[Scenario], TcpRun]], Callable[Told, TcpRun]]:
    """Let a function of a scenario be called with all that makes one; so it is listed once."""

    def decorate(run: Callable[[Scenario], TcpRun]) -> Callable[Told, TcpRun]:
        @wraps(run)
        def told(*arguments: Told.args, **named: Told.kwargs) -> TcpRun:
            return run(scenario(*arguments, **named))

        listed = signature(scenario).replace(return_annotation=TcpRun)
        told.__signature__ = listed  # type: ignore[attr-defined]
        return told

    return decorate


@_told(Scenario)
def simulate_tcp(scenario: Scenario) -> TcpRun:
    """Run the flows from 0 s to `to_s`; all but the trace is counted from `from_s` on.

    With `ecn` the drop policy marks packets instead of dropping them. `sample_s` is the distance of
    the trace's samples (a thousandth of the run), `watched` the number of flows whose windows are
    in it. `seed` is for random loss, for the chances that a drop policy takes, and for when
    senders notice; `compiled` is as in `engine.compiled.ready`. The same arguments give the same
    run, to the last bit, compiled or not. Raises RuleError if a rule of your own fails; see
    `queueing.own_rules`.

    >>> from course_lib.tcp.traffic import flows
    >>> run = simulate_tcp(flows(1, 0.06), 5e6, 10, to_s=5, compiled=False)
    >>> int(run.per_flow.sent[0]), int(run.per_flow.dropped[0])
    (1796, 17)
    """

    def run(compiled: bool | None) -> TcpRun:
        return _run(replace(scenario, compiled=compiled).plan())

    rules = (scenario.drop.on_arrival, scenario.drop.at_head)
    return run_with_rules(run, rules, scenario.compiled)


def _run(plan: Plan) -> TcpRun:
    """Run with as much memory as is likely to do; if it does not, run again with more."""
    size = likely_size(plan)
    loop = ready(advance, compiled=plan.compiled)
    drop = plan.drop
    on_arrival = ready(drop.on_arrival, DropRule, compiled=plan.compiled)
    at_head = ready(drop.at_head, DropRule, compiled=plan.compiled)
    while True:
        state, samples = make_state(plan, size), make_samples(plan)
        if loop(state, on_arrival, at_head, samples, plan.from_ns):
            _forget_counts(state)
            if loop(state, on_arrival, at_head, samples, plan.to_ns):
                return _result(plan, size, state, samples)
        size = _more(size, state)


def _more(size: Size, state: State) -> Size:
    """Return more of what ran out."""
    if field_of(state.link, "next_lost") == len(state.rows.lost):
        return size._replace(losses=4 * size.losses)
    if field_of(state.link, "asked") > size.chances:
        return size._replace(chances=2 * size.chances)
    return size._replace(packets=2 * size.packets)


def _forget_counts(state: State) -> None:
    """Begin to count anew: the warm-up is over."""
    for name in FlowCounts._fields:
        set_column(_counted_by(state, name), name, 0)
    for row in (state.rows.in_system_ns, state.rows.waits):
        for place in range(len(row)):
            row[place] = 0


def _counted_by(state: State, name: str) -> Sequence[Any]:
    return state.receivers if hasattr(Receiver, name) else state.senders


def _result(plan: Plan, size: Size, state: State, samples: Samples) -> TcpRun:
    in_system_s = np.array(state.rows.in_system_ns) / SECOND
    waiting_s = in_system_s[1:].copy()
    waiting_s[0] += in_system_s[0]
    return TcpRun(
        flows=plan.flows,
        link_bits_per_s=plan.link_bits_per_s,
        buffer_packets=plan.buffer_packets,
        packet_octets=plan.packet_octets,
        from_s=plan.from_ns / SECOND,
        to_s=plan.to_ns / SECOND,
        per_flow=FlowCounts(*(column(_counted_by(state, n), n) for n in FlowCounts._fields)),
        idle_s=float(in_system_s[0]),
        waiting_s=waiting_s,
        waits=np.array(state.rows.waits),
        wait_step_s=(1 << size.slot_bits) / SECOND,
        trace=_trace(plan, samples),
    )


def _trace(plan: Plan, samples: Samples) -> Trace:
    table = (len(samples.waiting), plan.rules.watched)
    thresholds = np.array(samples.thresholds).reshape(table)
    return Trace(
        np.linspace(0, (table[0] - 1) * plan.rules.sample_ns / SECOND, table[0]),
        np.array(samples.waiting),
        np.array(samples.windows).reshape(table),
        np.where(thresholds >= Sender().threshold, np.inf, thresholds),
        np.array(samples.window_sum),
        np.array(samples.left),
        np.array(samples.dropped),
    )


def _packet_ns(link_bits_per_s: float, packet_octets: float) -> int:
    rate = positive("link_bits_per_s", link_bits_per_s)
    packet_ns = round(packet_octets * 8 * SECOND / rate)
    if packet_ns < _SHORTEST_NS:
        raise ValueError(
            f"link_bits_per_s ({rate:g}) is too fast: a packet of {packet_octets:g} octets would "
            f"take less than {_SHORTEST_NS} ns, and time is counted in whole nanoseconds"
        )
    return packet_ns


def _run_length(to_s: float) -> float:
    if positive("to_s", to_s) > _LONGEST_S:
        raise ValueError(f"to_s must be at most {_LONGEST_S:g}, not {to_s:g}")
    return float(to_s)


# For `compiled.prepare`: the loop, and the rules of `drop_policies`.
PARTS = ((advance, None), *((rule, DropRule) for rule in (keep, red_on_arrival, codel_at_head)))
