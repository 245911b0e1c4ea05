"""Whose turn is it? Rules that choose the queue from which the next packet is sent.

Each flow has its own queue, first in, first out. Whenever the link is free and something waits, the
rule sees the head of every queue and answers with the number of a queue that is not empty.

* first come, first served: one queue for all flows, nothing to choose;
* strict priority: the lowest queue number first; who comes last may starve;
* deficit round robin: M. Shreedhar, G. Varghese, "Efficient fair queuing using deficit round
  robin", SIGCOMM 1995. Each queue in turn earns a quantum of octets and sends while it can pay.
  What it cannot use yet is kept for the next round, unless its queue runs empty: then it is lost.

The paper keeps a list of queues that are not empty, so that a round costs nothing for the others.
Here all are looked at, in the order of their numbers; the bounds on fairness are the same.

Your own is `own_scheduler(my_rule, queues=3, settings=(...), memory=(...))`; see `own_rules`.
"""

__all__ = [
    "FIRST_COME",
    "ChoiceRule",
    "Heads",
    "Scheduler",
    "deficit_round_robin",
    "strict_priority",
]

from collections.abc import Callable, Sequence
from typing import NamedTuple, TypeAlias

from course_lib.engine.machine_types import Counts, Numbers
from course_lib.queueing.checks import at_least, whole


class Heads(NamedTuple):
    """What a rule sees: an entry for each queue. Size and time only mean something if one waits."""

    waiting: Counts
    octets: Numbers  # of the first packet
    came_s: Numbers  # the time when it came


ChoiceRule: TypeAlias = Callable[[Heads, Numbers, Numbers], int]


class Scheduler(NamedTuple):
    """A rule, what it starts with, and how many queues it serves; one queue takes all flows."""

    choose: ChoiceRule
    queues: int
    settings: tuple[float, ...] = ()
    memory: tuple[float, ...] = ()


def only_queue(heads: Heads, settings: Numbers, memory: Numbers) -> int:
    """Choose the one queue there is."""
    return 0


FIRST_COME = Scheduler(only_queue, queues=1)


def strict_priority(queues: int) -> Scheduler:
    """Return strict priority; flow 0 is the most urgent. A packet being sent is not interrupted.

    >>> from course_lib.queueing import simulate, trace
    >>> four = trace([0.0] * 4, octets=1000, flow=[1, 1, 1, 0])  # 1 s each
    >>> simulate(four, 8000, scheduler=strict_priority(2), compiled=False).began_s.tolist()
    [0.0, 2.0, 3.0, 1.0]
    """
    return Scheduler(lowest_number, whole(1, "queues", queues))


def lowest_number(heads: Heads, settings: Numbers, memory: Numbers) -> int:
    """Choose the first queue in which something waits."""
    queue = 0
    while heads.waiting[queue] == 0:
        queue += 1
    return queue


# Deficit round robin: places in the memory, before the deficits.
_TURN, _PAID, _DEFICITS = range(3)


def deficit_round_robin(quanta_octets: Sequence[float]) -> Scheduler:
    """Return deficit round robin: each queue's share of the link is its share of the quanta.

    A quantum of at least the largest packet lets every visit send something (the paper's condition
    for a constant cost); smaller ones are as fair, and need more rounds.

    >>> from course_lib.queueing import simulate, trace
    >>> six = trace([0.0] * 6, octets=1000, flow=[0, 0, 0, 0, 1, 1])
    >>> run = simulate(six, 8000, scheduler=deficit_round_robin([1000, 2000]), compiled=False)
    >>> six.flow[run.began_s.argsort()].tolist()
    [0, 1, 1, 0, 0, 0]
    """
    quanta = [at_least(1, "quanta_octets", quantum) for quantum in quanta_octets]
    queues = whole(1, "the number of quanta", len(quanta))
    return Scheduler(next_with_credit, queues, tuple(quanta), (0.0,) * (_DEFICITS + queues))


def next_with_credit(heads: Heads, settings: Numbers, memory: Numbers) -> int:
    """Go round until a queue can pay for its first packet."""
    while True:
        queue = int(memory[_TURN])
        if heads.waiting[queue] > 0:
            if memory[_PAID] == 0.0:
                memory[_DEFICITS + queue] += settings[queue]
                memory[_PAID] = 1.0
            if heads.octets[queue] <= memory[_DEFICITS + queue]:
                memory[_DEFICITS + queue] -= heads.octets[queue]
                if heads.waiting[queue] == 1:  # its last packet: what is left of the credit lapses
                    memory[_DEFICITS + queue] = 0.0
                return queue
        memory[_TURN] = (queue + 1) % len(settings)
        memory[_PAID] = 0.0
