"""Questions of exercise 7.5: which changes, and in which order.

A shape is a pair of tables, old and new: bits behind some prefix, and a number for a next hop. In
`CALM` any order keeps the promise, so "fewest changes" asks which changes there are, and for their
order alone. In `HOLES` a change has to wait because of a hole, in `THIRD` because of a third next
hop, and never because of both: so each of the two parts of the promise is asked for alone.
"""

__all__ = ["MIRRORS", "mirror_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import PIERS, private, text

FEWEST, HOLE, WRONG = "fewest changes", "no hole", "no third next hop"
PROMISE = "computed by the model answer; that the promise can always be kept is proved in its notes"

Half = tuple[tuple[str, int], ...]
Shape = tuple[Half, Half]

CALM: tuple[Shape, ...] = (
    ((("01", 0),), (("01", 1),)),
    ((), (("0", 1), ("10", 2))),
    ((("01", 1), ("11", 2)), ()),
    ((("0", 0), ("1", 1)), (("0", 2), ("1", 3))),
    ((("0", 1),), (("1", 0),)),
    ((("01", 2), ("10", 3)), (("10", 0), ("11", 1))),
    ((("10", 2), ("110", 2)), (("00", 1), ("110", 2))),
    ((("0", 0), ("10", 1), ("11", 2)), (("0", 0), ("10", 1), ("11", 2))),
    # From here on prefixes lie in others.
    ((("0", 1), ("001", 0)), (("001", 2),)),
    ((("01", 0), ("011", 2)), (("10", 0),)),
    ((("1", 2),), (("00", 0), ("000", 0))),
    ((("11", 1), ("110", 1)), (("110", 2),)),
    ((("000", 1),), (("00", 3),)),
    ((("", 2), ("0", 2), ("000", 1)), (("0", 2), ("01", 0))),
    ((("01", 1), ("1", 0), ("11", 0)), (("01", 3), ("11", 0), ("110", 3))),
    ((("000", 0), ("010", 0), ("011", 2)), (("00", 0), ("000", 3), ("011", 2), ("1", 3))),
)
HOLES: tuple[Shape, ...] = (
    ((("", 0),), (("0", 1), ("1", 2))),
    ((("01", 0),), (("010", 1),)),
    ((("", 0),), (("000", 3),)),
    ((("", 1),), (("110", 2),)),
    ((("0", 0),), (("00", 0), ("01", 2))),
    ((("00", 1), ("010", 2), ("1", 1)), (("001", 3), ("010", 0), ("1", 1))),
    ((("010", 0), ("1", 0), ("100", 0)), (("10", 3), ("100", 2))),
    ((("000", 1), ("01", 1)), (("000", 3), ("010", 2))),
    ((("01", 0), ("10", 0), ("100", 0)), (("011", 0), ("10", 1))),
    ((("00", 0), ("1", 0), ("110", 0)), (("11", 3), ("110", 3))),
    ((("0", 2), ("1", 2), ("110", 1)), (("0", 2), ("01", 3), ("11", 1), ("110", 2))),
    ((("", 0), ("01", 2), ("10", 0)), (("00", 0), ("000", 0), ("10", 0))),
)
THIRD: tuple[Shape, ...] = (
    ((("0", 1),), (("0", 0), ("010", 2))),
    ((("", 1),), (("", 2), ("001", 0))),
    ((("0", 2),), (("", 0), ("000", 1))),
    ((("10", 0),), (("", 2), ("1", 0))),
    ((("0", 0),), (("0", 2), ("00", 0), ("000", 2))),
    ((("011", 0), ("100", 2)), (("011", 0), ("1", 2), ("10", 0))),
    ((("0", 0), ("000", 0), ("10", 2)), (("0", 2), ("00", 3))),
    ((("0", 1), ("001", 0), ("100", 1)), (("0", 0), ("010", 3), ("10", 1), ("100", 1))),
    ((("001", 2), ("01", 0)), (("01", 1), ("011", 0))),
    ((("100", 2), ("11", 0)), (("1", 3), ("10", 2), ("11", 3))),
    ((("00", 2), ("01", 0)), (("0", 3), ("00", 1), ("000", 3))),
    ((("10", 2), ("110", 0)), (("", 0), ("011", 3), ("100", 1), ("110", 0))),
    ((("1", 1),), (("0", 0), ("010", 2), ("1", 1))),
    ((("", 0), ("0", 1), ("00", 0)), (("", 1), ("01", 3), ("1", 2))),
)
# Numbers whose order as texts is another one: the smaller first.
TEXTS = ((9, 10), (64, 128), (96, 160), (32, 192), (8, 16))


def _ask(aspect: str, old: dict[str, str], new: dict[str, str]) -> Question:
    return Question(aspect, (old, new), PROMISE)


def _at(aspect: str, prefix: str, shape: Shape) -> Question:
    """Put a shape behind a prefix, with next hops in the order of their names."""
    first, length = prefix.split("/")
    a, b, c, d = map(int, first.split("."))
    address = a << 24 | b << 16 | c << 8 | d
    old, new = (_placed(address, int(length), half, PIERS) for half in shape)
    return _ask(aspect, old, new)


def _placed(address: int, length: int, half: Half, hops: tuple[str, ...]) -> dict[str, str]:
    network = address >> 32 - length << 32 - length
    return {
        f"{text(network | int(bits or '0', 2) << 32 - length - len(bits))}/{length + len(bits)}":
        hops[hop]
        for bits, hop in half
    }  # fmt: skip


# Addresses in which the varied octet has three digits, so that as texts they are in order as well.
_NETS = ("192.0.2.128/25", "198.51.100.128/25", "203.0.113.128/25", "10.20.128.0/17")
MIRRORS = (
    _ask(FEWEST, {"0.0.0.0/0": "Gull", "192.0.2.7/32": "Reed"}, {"192.0.2.7/32": "Reed"}),
    _ask(FEWEST, {}, {"255.255.255.255/32": "Gull", "10.0.0.0/8": "Reed", "9.0.0.0/8": "Reed"}),
    _ask(FEWEST, {"192.0.2.128/25": "Gull", "192.0.2.64/26": "Gull"}, {"198.51.100.0/24": "Reed"}),
    _ask(FEWEST, {"8.255.0.0/16": "Gull"}, {"9.1.0.0/16": "Reed"}),
    _ask(HOLE, {"10.0.0.0/8": "Gull"}, {"10.200.0.0/16": "Reed"}),
    _ask(WRONG, {"0.0.0.0/0": "Gull"}, {"0.0.0.0/0": "Reed", "200.0.0.0/8": "Lantern"}),
    *(_at(FEWEST, _NETS[number % 4], shape) for number, shape in enumerate(CALM)),
    *(_at(HOLE, _NETS[number % 4], shape) for number, shape in enumerate(HOLES)),
    *(_at(WRONG, _NETS[number % 4], shape) for number, shape in enumerate(THIRD)),
)


def mirror_questions(rng: random.Random) -> list[Question]:
    """Draw each shape somewhere, with any next hops, its tables in any order."""
    shapes = [(FEWEST, one) for one in CALM] + [(HOLE, one) for one in HOLES]
    shapes += [(WRONG, one) for one in THIRD]
    return [*(_drawn(rng, *one) for one in shapes), *(_texts(rng) for _ in range(2))]


def _drawn(rng: random.Random, aspect: str, shape: Shape) -> Question:
    hops = tuple(rng.sample(PIERS, 4))
    length = rng.choice((10, 17, 25))
    octet = 3 << 22 if length == 10 else 1 << 32 - length  # it has three digits, whatever follows
    address = private(rng) | octet
    tables = []
    for half in shape:
        rows = list(_placed(address, length, half, hops).items())
        rng.shuffle(rows)
        tables.append(dict(rows))
    return _ask(aspect, *tables)


def _texts(rng: random.Random) -> Question:
    """Return disjoint prefixes whose order as texts is not that of their addresses."""
    hops, (small, large) = rng.sample(PIERS, 2), rng.choice(TEXTS)
    block = private(rng) >> 16 << 16
    one, other = (f"{text(block | octet << 8)}/24" for octet in (small, large))
    if rng.getrandbits(1):
        return _ask(FEWEST, {other: hops[0]}, {one: hops[1]})
    return _ask(FEWEST, {one: hops[0], other: hops[1]}, {other: hops[0], one: hops[1]})
