"""Questions about a receiver (11.2): the public ones are published rows, and two draws of many.

What one aspect asks for must not fall with another. In "what is acknowledged" nothing lies behind
a gap; in "behind a gap" and "what is held" the first segment does.
"""

__all__ = ["RECEIVER", "receiver_questions"]

import random
from collections.abc import Callable

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_10.secret_events import Step, between, events

BEFORE, ACK = "before or after", "what is acknowledged"
GAP, HELD = "behind a gap", "what is held"
ALL, HALF = 2**32, 2**31
Draw = Callable[[random.Random], Question]


def receiver_questions(rng: random.Random) -> list[Question]:
    """Draw numbers near and far, segments in order and behind gaps, and what is held."""
    kinds: tuple[tuple[Draw, int], ...] = (
        (_across_the_end, 2),
        (_almost_half_away, 1),
        (_half_away, 1),
        (_the_same, 1),
        (_in_order, 1),
        (_single_octets, 1),
        (_over_the_end, 2),
        (_again, 2),
        (_again_over_the_end, 1),
        (_in_part_again, 2),
        (_one_gap, 2),
        (_gap_of_one, 1),
        (_several_behind_a_gap, 2),
        (_far_away, 1),
        (_gap_over_the_end, 1),
        (_longer_one_later, 1),
        (_shorter_one_later, 1),
        (_two_receivers, 1),
        (_one_odd, 1),
        (_one_even, 1),
        (_joined, 1),
        (_joined_behind_another, 1),
        (_inside_another, 1),
        (_nearest_first, 1),
        (_nearest_last, 1),
        (_apart_over_the_end, 1),
        (_held_over_the_end, 1),
        (_given_back, 1),
    )
    return [draw(rng) for draw, number in kinds for _ in range(number)]


def _row(aspect: str, wanted: int, *steps: tuple[int, int]) -> Question:
    """Let segments come; each is said by how far it lies from what was wanted at the start."""
    return events(
        aspect, (wanted,), *[("receive", (wanted + at) % ALL, octets) for at, octets in steps]
    )


def _wanted(rng: random.Random) -> int:
    return rng.randint(1, 9) * 10_000_000 + rng.randint(0, 9_999_999)


def _near_the_end(rng: random.Random) -> int:
    return ALL - rng.randint(1, 400)


def _octets(rng: random.Random) -> int:
    return rng.randint(500, 900)


def _asked(rng: random.Random, pairs: list[tuple[int, int]]) -> Question:
    """Ask for pairs of numbers."""
    steps = [("is_before", one % ALL, other % ALL) for one, other in pairs]
    return events(BEFORE, (_wanted(rng),), *steps)


def _across_the_end(rng: random.Random) -> Question:
    one = _near_the_end(rng)
    pairs = [(one, one + 1)]
    for _ in range(rng.randint(2, 4)):
        one = rng.choice((_near_the_end(rng), _wanted(rng)))
        other = one + rng.randint(401, 90_000)
        pairs.append(rng.choice(((one, other), (other, one))))
    rng.shuffle(pairs)
    return _asked(rng, pairs)


def _almost_half_away(rng: random.Random) -> Question:
    one, other = rng.randrange(ALL), rng.randrange(ALL)
    pairs = [(one, one + HALF - 1), (one + HALF - 1, one), (other, other + HALF + 1)]
    rng.shuffle(pairs)
    return _asked(rng, pairs)


def _half_away(rng: random.Random) -> Question:
    numbers = [rng.randrange(ALL) for _ in range(rng.randint(1, 2))]
    return _asked(rng, [(one, one + HALF) for one in numbers])


def _the_same(rng: random.Random) -> Question:
    numbers = [rng.randrange(ALL) for _ in range(rng.randint(1, 2))]
    return _asked(rng, [(one, one) for one in numbers])


def _in_order(rng: random.Random) -> Question:
    one, other = _octets(rng), _octets(rng)
    return _row(ACK, _wanted(rng), (0, one), (one, other), (one + other, _octets(rng)))


def _single_octets(rng: random.Random) -> Question:
    return _row(ACK, _wanted(rng), *[(place, 1) for place in range(rng.randint(2, 3))])


def _over_the_end(rng: random.Random) -> Question:
    wanted, one = _near_the_end(rng), _octets(rng)
    if rng.random() < 0.5:
        one = ALL - wanted  # just up to the last number
    return _row(ACK, wanted, (0, one), (one, _octets(rng)))


def _again(rng: random.Random) -> Question:
    one, other = _octets(rng), _octets(rng)
    again = rng.choice(((0, one), (one, other), (0, one - 2), (rng.randint(2, 99), 300)))
    return _row(ACK, _wanted(rng), (0, one), (one, other), again, (one + other, _octets(rng)))


def _again_over_the_end(rng: random.Random) -> Question:
    """Repeat from before the end what came, when what is wanted lies behind it."""
    wanted, one = _near_the_end(rng), _octets(rng)
    return _row(ACK, wanted, (0, one), (one, 300), (0, one), (one + 300, _octets(rng)))


def _in_part_again(rng: random.Random) -> Question:
    wanted, one = _wanted(rng), _octets(rng)
    back = rng.randint(2, 200)
    return _row(ACK, wanted, (0, one), (one - back, _octets(rng)))


def _one_gap(rng: random.Random) -> Question:
    one, other = _octets(rng), _octets(rng)
    late = rng.choice(((0, one), (-rng.randint(2, 99), one + 99), (0, one + rng.randint(1, 99))))
    return _row(GAP, _wanted(rng), (one, other), late, (one + other, _octets(rng)))


def _gap_of_one(rng: random.Random) -> Question:
    return _row(GAP, _wanted(rng), (1, _octets(rng)), (0, 1))


def _several_behind_a_gap(rng: random.Random) -> Question:
    """Hold two or three that follow each other, in any order, and then fill the gap."""
    sizes = [_octets(rng) for _ in range(rng.randint(3, 4))]
    rows = [(sum(sizes[:place]), size) for place, size in enumerate(sizes)]
    first, *rest = rows
    rng.shuffle(rest)
    return _row(GAP, _wanted(rng), *rest, first)


def _far_away(rng: random.Random) -> Question:
    gap = rng.randint(100, 400) * 1000 + rng.randint(0, 999)
    return _row(GAP, _wanted(rng), (gap, _octets(rng)), (0, gap))


def _gap_over_the_end(rng: random.Random) -> Question:
    one = _octets(rng)
    return _row(GAP, _near_the_end(rng), (one, _octets(rng)), (0, one))


def _longer_one_later(rng: random.Random) -> Question:
    return _row(GAP, _wanted(rng), *_of_two_lengths(rng))


def _shorter_one_later(rng: random.Random) -> Question:
    shorter, longer, gap = _of_two_lengths(rng)
    return _row(GAP, _wanted(rng), longer, shorter, gap)


def _of_two_lengths(rng: random.Random) -> tuple[tuple[int, int], ...]:
    """Return two segments that begin at the same octet, and what is missing before them."""
    one, short = _octets(rng), rng.randint(100, 400)
    return (one, short), (one, short + rng.randint(50, 400)), (0, one)


def _two_receivers(rng: random.Random) -> Question:
    """Give one of them what the other one would hold."""
    wanted, one, other = _wanted(rng), _octets(rng), _octets(rng)
    return between(
        GAP,
        ((wanted,), (wanted,)),
        (0, "receive", wanted + one, other),
        (1, "receive", wanted + one + other + rng.randint(1, 99), other),
        (1, "receive", wanted, one),
        (0, "receive", wanted, one - rng.randint(2, 99)),
    )


def _listed(wanted: int, *steps: tuple[int, int] | None) -> Question:
    """Let segments come, and ask what is held where None stands."""
    rows: list[Step] = [
        ("held",) if step is None else ("receive", (wanted + step[0]) % ALL, step[1])
        for step in steps
    ]
    return events(HELD, (wanted,), *rows)


def _one_odd(rng: random.Random) -> Question:
    return _listed(_wanted(rng), (_octets(rng), 2 * _octets(rng) + 1), None)


def _one_even(rng: random.Random) -> Question:
    return _listed(_wanted(rng), (_octets(rng), 2 * _octets(rng)), None)


def _joined(rng: random.Random) -> Question:
    """Let two come that touch or overlap, in any order."""
    gap, one = _octets(rng), _octets(rng)
    pair = [(gap, one), (gap + one - rng.choice((0, rng.randint(1, 300))), _octets(rng))]
    rng.shuffle(pair)
    return _listed(_wanted(rng), *pair, None)


def _places(rng: random.Random) -> tuple[tuple[int, int], tuple[int, int]]:
    """Return a segment behind a gap, and one that lies behind another gap."""
    near, octets = _octets(rng), rng.randint(50, 400)
    return (near, octets), (near + octets + _octets(rng), rng.randint(50, 400))


def _nearest_first(rng: random.Random) -> Question:
    return _listed(_wanted(rng), *_places(rng), None)


def _nearest_last(rng: random.Random) -> Question:
    near, far = _places(rng)
    return _listed(_wanted(rng), far, near, None)


def _apart_over_the_end(rng: random.Random) -> Question:
    """Put the end of all numbers between both."""
    near, far = _places(rng)
    return _listed(ALL - near[0] - rng.randint(401, 499), far, near, None)


def _held_over_the_end(rng: random.Random) -> Question:
    """Let a segment begin before the end of all numbers, and end behind it."""
    gap, octets = _octets(rng), _octets(rng)
    return _listed(ALL - gap - rng.randint(9, octets - 9), (gap, octets), None)


def _joined_behind_another(rng: random.Random) -> Question:
    """Let three come, of which the last two touch."""
    near, far = _places(rng)
    return _listed(_wanted(rng), near, (sum(far), _octets(rng)), far, None)


def _inside_another(rng: random.Random) -> Question:
    """Let a segment come that lies within one that is held, behind another gap."""
    near, (first, octets) = _places(rng)
    inside = (first + rng.randint(1, 9), octets - rng.randint(20, 40))
    return _listed(_wanted(rng), near, (first, octets), inside, None)


def _given_back(rng: random.Random) -> Question:
    """Fill the first gap; a second one stays, or none."""
    gap, one = _octets(rng), _octets(rng)
    more = rng.choice(([], [(gap + one + _octets(rng), 2 * _octets(rng))]))
    return _listed(_wanted(rng), (gap, one), None, *more, (0, gap), None)


RECEIVER = (
    events(
        ACK,
        (1000,),
        ("receive", 1000, 500),
        source="the contract's own example",
        published=Expected(value=[1500]),
    ),
    events(
        BEFORE,
        (0,),
        ("is_before", 0xFFFFFFF0, 0x10),
        ("is_before", 0x10, 0xFFFFFFF0),
        source="RFC 9293, section 3.4: comparisons are modulo 2**32",
        published=Expected(value=[True, False]),
    ),
    *receiver_questions(random.Random("what everybody may see")),
    *receiver_questions(random.Random("once more")),
)
