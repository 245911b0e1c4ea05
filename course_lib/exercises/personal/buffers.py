"""Numbers of one's own for exercise 10.4: lines, and the flows that share them.

Everybody has the same work: pipes of three digits, and as much is left over a whole packet as makes
the same roundings right and wrong. Where flows are in step, all comes out even, in floats too, in
whatever order they multiply and divide: rates are then whole Mbit/s, delays eighths of a second.

What is right is the library's own rule, in whole packets.
"""

__all__ = ["buffer_cases"]

import math

from course_lib.exercises.personal.draws import Draws
from course_lib.exercises.registry import Case, Expected

SOURCE = "own numbers"
PACKET_BITS = 1500 * 8
PIPES = range(100, 1000)  # packets that are under way
DELAYS_MS = (20, 30, 40, 50, 60, 80, 100, 120, 150, 160, 200, 240)
EVEN_PIPES = range(125, 1000, 125)
EVEN_DELAYS_MS = (125, 250, 500)
NO_SQUARES = tuple(number for number in range(5, 100) if math.isqrt(number) ** 2 != number)


def buffer_cases(draws: Draws) -> tuple[Case, ...]:
    """Draw flows that are not in step, flows in step, and a pipe with a part of a packet."""
    return _not_in_step(draws), _in_step(draws), _part_of_a_packet(draws)


def _not_in_step(draws: Draws) -> Case:
    """Draw a buffer that lacks less than half a packet to a whole one."""
    while True:
        pipe, flows = _one(draws, PIPES), _one(draws, NO_SQUARES)
        if 0.55 < pipe / math.sqrt(flows) % 1 < 0.95:
            return _line("not in step", pipe * PACKET_BITS, _one(draws, DELAYS_MS), flows)


def _in_step(draws: Draws) -> Case:
    pipe, flows = _one(draws, EVEN_PIPES), _one(draws, NO_SQUARES)
    return _line("in step", pipe * PACKET_BITS, _one(draws, EVEN_DELAYS_MS), flows, in_step=True)


def _part_of_a_packet(draws: Draws) -> Case:
    """Draw a pipe for one flow that holds less than half a packet more than whole ones."""
    bits = _one(draws, PIPES) * PACKET_BITS + 600 * draws.between(2, 8)
    return _line("part of a packet", bits, _one(draws, DELAYS_MS), 1)


def _line(aspect: str, bits: int, delay_ms: int, flows: int, *, in_step: bool = False) -> Case:
    """Ask for the buffer of a line that holds so many bits; they are a multiple of 600."""
    from course_lib.tcp.theory import buffer_bits  # loads NumPy, and marking should begin at once

    rate = bits * 1000 // delay_ms
    need = buffer_bits(rate, delay_ms / 1000, 1 if in_step else flows) / PACKET_BITS
    arguments = rate, delay_ms, flows, in_step
    return Case(aspect, arguments, Expected(math.ceil(need)), SOURCE, {})


def _one(draws: Draws, things: range | tuple[int, ...]) -> int:
    return things[draws.below(len(things))]
