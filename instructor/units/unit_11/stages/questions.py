"""Questions about a stage that loses segments (11.1): the public ones are two draws of many.

What one aspect asks for must not fall with another. Only "only data" has options, padding, and
segments without data; only "what else passes" has fragments, their flags, and other protocols. A
group of as many segments without data as are counted moves no loss, should somebody count them.
"""

__all__ = ["LOSS", "loss_questions"]

import random
from collections.abc import Callable, Sequence

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events
from instructor.units.unit_11.stages.segments import (
    NETS,
    Flow,
    back,
    draw_flow,
    echo,
    fragment,
    segment,
    udp,
)

FLOW, DATA, ELSE = "each flow by itself", "only data", "what else passes"
EXAMPLE = "the contract's own example"
EVERY = 3
SYN = 0x02
Draw = Callable[[random.Random], Question]


def loss_questions(rng: random.Random) -> list[Question]:
    """Draw flows that differ in one thing, packets of which one is odd, and what is no segment."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_other_source, 1),
        (_other_source_port, 1),
        (_other_destination, 1),
        (_other_destination_port, 1),
        (_other_hosts, 1),
        (_both_ways, 1),
        (_five, 1),
        (_four, 1),
        (_six, 1),
        (_two, 1),
        (_every_one, 1),
        (_two_stages, 1),
        (_acknowledgements, 2),
        (_openings, 1),
        (_long_tcp_headers, 1),
        (_padding, 1),
        (_long_headers, 1),
        (_one_octet, 1),
        (_long_segment, 1),
        (_other_protocol, 1),
        (_echoes, 1),
        (_later_fragments, 2),
        (_may_not_be_cut, 1),
        (_first_fragments, 1),
    )
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _row(aspect: str, every: int, packets: Sequence[bytes]) -> Question:
    return events(aspect, (every,), *[("passes", packet) for packet in packets])


def _sent(rng: random.Random, flow: Flow, segments: int, most: int = 4) -> list[bytes]:
    """Return segments that follow each other in a flow; all octets of their numbers change."""
    sequence, row = rng.randint(1, 255) * 2**24 - rng.randint(1, 4), []
    for _ in range(segments):
        octets = rng.randint(2, most)
        row.append(segment(flow, octets, sequence=sequence))
        sequence += octets
    return row


def _in_turn(rng: random.Random, one: Flow, other: Flow) -> list[bytes]:
    """Return segments of two flows, neither of which fills the first three places."""
    first, second = _sent(rng, one, rng.randint(3, 4)), _sent(rng, other, rng.randint(2, 3))
    mixed = [first.pop(0), second.pop(0)]
    while first or second:
        mixed.append((first if first and (not second or rng.random() < 0.5) else second).pop(0))
    return mixed


def _other_source(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    net, _, host = flow.source.rpartition(".")
    other = flow._replace(source=f"{net}.{int(host) % 254 + 1}")
    return _row(FLOW, EVERY, _in_turn(rng, flow, other))


def _other_source_port(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    other = flow._replace(source_port=flow.source_port + rng.randint(1, 300))
    return _row(FLOW, EVERY, _in_turn(rng, flow, other))


def _other_destination(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    net, _, host = flow.destination.rpartition(".")
    other = flow._replace(destination=f"{net}.{int(host) % 254 + 1}")
    return _row(FLOW, EVERY, _in_turn(rng, flow, other))


def _other_destination_port(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    other = flow._replace(destination_port=flow.destination_port + rng.randint(1, 300))
    return _row(FLOW, EVERY, _in_turn(rng, flow, other))


def _other_hosts(rng: random.Random) -> Question:
    """Let two other hosts choose the same ports."""
    flow = draw_flow(rng)
    taken = [address.rpartition(".")[0] for address in (flow.source, flow.destination)]
    third = next(net for net in NETS if net not in taken)
    other = flow._replace(
        source=f"{third}.{rng.randint(1, 99)}", destination=f"{third}.{rng.randint(100, 254)}"
    )
    return _row(FLOW, EVERY, _in_turn(rng, flow, other))


def _both_ways(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    return _row(FLOW, EVERY, _in_turn(rng, flow, back(flow)))


def _five(rng: random.Random) -> Question:
    return _row(FLOW, 5, _sent(rng, draw_flow(rng), rng.randint(5, 8)))


def _four(rng: random.Random) -> Question:
    return _row(FLOW, 4, _sent(rng, draw_flow(rng), rng.randint(4, 7)))


def _six(rng: random.Random) -> Question:
    """Send one or two segments again."""
    row = _sent(rng, draw_flow(rng), rng.randint(4, 5))
    place = rng.randint(1, 3)
    return _row(FLOW, 6, [*row[: place + 1], row[place], *row[place + 1 :], row[-1]])


def _two(rng: random.Random) -> Question:
    return _row(FLOW, 2, _sent(rng, draw_flow(rng), rng.randint(4, 7)))


def _every_one(rng: random.Random) -> Question:
    return _row(FLOW, 1, _sent(rng, draw_flow(rng), rng.randint(1, 4)))


def _two_stages(rng: random.Random) -> Question:
    row = _sent(rng, draw_flow(rng), rng.randint(3, 4))
    turns = [(number, "passes", packet) for packet in row for number in (0, 1)]
    return between(FLOW, ((EVERY,), (EVERY,)), *turns[: -rng.randint(1, 2)])


def _acknowledgements(rng: random.Random) -> Question:
    """Put one or two acknowledgements among the segments of a flow, and of its way back."""
    flow = draw_flow(rng)
    row = _sent(rng, flow, rng.randint(4, 6))
    for _ in range(rng.randint(1, 2)):
        row.insert(rng.randint(1, 2), segment(flow, 0, sequence=rng.randint(1, 9000)))
    row += [segment(back(flow), 0, sequence=rng.randint(1, 9000)) for _ in range(3)]
    return _row(DATA, EVERY, row)


def _among(rng: random.Random, flow: Flow, group: Sequence[bytes]) -> Question:
    """Put a group of packets without data behind the first segment or the second."""
    row, place = _sent(rng, flow, rng.randint(3, 5)), rng.randint(1, 2)
    return _row(DATA, EVERY, [*row[:place], *group, *row[place:]])


def _openings(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    return _among(rng, flow, [segment(flow, 0, control_bits=SYN)] * EVERY)


def _long_tcp_headers(rng: random.Random) -> Question:
    flow, words = draw_flow(rng), rng.randint(1, 3)
    return _among(rng, flow, [segment(flow, 0, tcp_options=words)] * EVERY)


def _padding(rng: random.Random) -> Question:
    flow, octets = draw_flow(rng), rng.randint(1, 6)
    return _among(rng, flow, [segment(flow, 0, padding=octets, service=0xB8)] * EVERY)


def _long_headers(rng: random.Random) -> Question:
    """Give some segments options in front of their TCP header."""
    flow, words = draw_flow(rng), rng.randint(1, 2)
    row = [segment(flow, rng.randint(2, 4), ip_options=words) for _ in range(2)]
    row += _sent(rng, flow, rng.randint(2, 4))
    return _row(DATA, EVERY, row)


def _one_octet(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    row = [segment(flow, 1, sequence=place) for place in range(rng.randint(3, 6))]
    return _row(DATA, EVERY, row)


def _long_segment(rng: random.Random) -> Question:
    """Send a segment whose total length needs both octets of that field."""
    flow = draw_flow(rng)
    row = [segment(flow, rng.randint(216, 230)), *_sent(rng, flow, rng.randint(2, 4))]
    return _row(DATA, EVERY, row)


def _beside(rng: random.Random, flow: Flow, others: Sequence[bytes]) -> Question:
    row, place = _sent(rng, flow, rng.randint(3, 5)), rng.randint(1, 2)
    return _row(ELSE, EVERY, [*row[:place], *others, *row[place:]])


def _other_protocol(rng: random.Random) -> Question:
    flow = draw_flow(rng)
    return _beside(rng, flow, [udp(flow)] * rng.randint(1, 2))


def _echoes(rng: random.Random) -> Question:
    flow, number = draw_flow(rng), rng.randint(1, 99)
    return _beside(rng, flow, [echo(flow, number + place) for place in range(rng.randint(1, 2))])


def _later_fragments(rng: random.Random) -> Question:
    """Send one fragment again and again: the first, or one whose low octet is zero."""
    flow, unit = draw_flow(rng), rng.choice((1, 256 * rng.randint(1, 9)))
    return _beside(rng, flow, [fragment(flow, unit)] * EVERY)


def _with_flags(rng: random.Random, flags: int) -> Question:
    """Set flags in one or two of the first segments of a flow."""
    flow = draw_flow(rng)
    row = [segment(flow, rng.randint(2, 4), flags=flags) for _ in range(rng.randint(1, 2))]
    return _row(ELSE, EVERY, row + _sent(rng, flow, rng.randint(2, 4)))


def _may_not_be_cut(rng: random.Random) -> Question:
    return _with_flags(rng, 2)


def _first_fragments(rng: random.Random) -> Question:
    return _with_flags(rng, 1)


LOSS = (
    events(
        FLOW,
        (2,),
        *[("passes", segment(Flow(), 3, sequence=1 + 3 * place)) for place in range(4)],
        source=EXAMPLE,
        published=Expected(value=[True, False, True, False]),
    ),
    *loss_questions(random.Random("what everybody may see")),
    *loss_questions(random.Random("once more")),
)
