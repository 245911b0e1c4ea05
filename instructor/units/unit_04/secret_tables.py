"""Questions of unit 04, longest prefix match: the secret ones of 4.4, drawn for each seed.

Every aspect is there for every seed. What falls here and not in public breaks a clause, too.
"""

__all__ = ["table_questions"]

import random

from instructor.units.items import Question
from instructor.units.unit_04.case_parts import (
    MASK,
    PIERS,
    other_pier,
    prefix_of,
    private,
    steps,
    text,
)

Call = tuple[str, ...]


def table_questions(rng: random.Random) -> list[Question]:
    """Draw sequences of changes and look-ups around nested prefixes."""
    return [
        question
        for make in (_inserted, _inserted, _ends, _again, _again, _withdrawn, _withdrawn,
                     _there_again, _not_there)
        for question in make(rng)
    ]  # fmt: skip


def _table(rng: random.Random) -> tuple[list[tuple[str, str]], list[str]]:
    """Return three nested prefixes with piers, and addresses inside one, two and all three.

    Their networks begin with different addresses.
    """
    lengths = [rng.randint(8, 12), rng.randint(14, 19), rng.randint(21, 27)]
    address = private(rng) | 1 << 32 - lengths[1] | 1 << 32 - lengths[2]
    piers = rng.sample(PIERS, 3)
    routes = [
        (prefix_of(address, length), pier) for length, pier in zip(lengths, piers, strict=True)
    ]
    inside = [text(address ^ 1 << 32 - longer) for longer in (*lengths[1:], 32)]
    return routes, inside


def _spelled(rng: random.Random, prefix: str) -> str:
    """Write a prefix with host bits."""
    network, length = prefix.split("/")
    first = int.from_bytes(bytes(map(int, network.split("."))), "big")
    return f"{text(first | rng.randint(1, MASK >> int(length)))}/{length}"


def _inserted(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    inserts: list[Call] = [("insert", *route) for route in routes]
    rng.shuffle(inserts)
    finds: list[Call] = [("look_up", address) for address in inside]
    others, elsewhere = _table(rng)
    there = [(f"0:{call[0]}", *call[1:]) for call in inserts]
    here: list[Call] = [
        ("1:insert", prefix, f"{hop} {number}")
        for number, (prefix, hop) in enumerate((*routes[::2], *others[1:]))
    ]
    asked = [
        (f"{number}:look_up", address) for number, address in zip((0, 1, 0), inside, strict=True)
    ]
    mixed = [*there, *here]
    rng.shuffle(mixed)
    return [
        steps("insert and look up", *inserts, *finds),
        steps("insert and look up", *inserts[:2], ("insert", "0.0.0.0/0", "Bell"), inserts[2],
              *finds, ("look_up", "192.0.2.1")),
        steps("insert and look up", ("new",), *mixed, *asked, ("1:look_up", elsewhere[2])),
    ]  # fmt: skip


def _ends(rng: random.Random) -> list[Question]:
    """Ask at both ends of a prefix, and for a single address."""
    routes, inside = _table(rng)
    single: Call = ("insert", f"{inside[2]}/32", "Bell")
    inserts: list[Call] = [("insert", *route) for route in routes]
    network, length = routes[1][0].split("/")
    first = int.from_bytes(bytes(map(int, network.split("."))), "big")
    ends: list[Call] = [("look_up", text(one)) for one in (first, first | MASK >> int(length))]
    return [
        steps("insert and look up", inserts[0], inserts[1], *ends),
        steps("insert and look up", inserts[0], single, *inserts[1:], ("look_up", inside[2])),
    ]


def _again(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    prefix, pier = routes[1]
    find, around = ("look_up", inside[1]), ("insert", *routes[0])
    one, other, third = (_spelled(rng, prefix) for _ in range(3))
    news = other_pier(rng, pier)
    aspect = "the same prefix again"
    return [
        steps(aspect, ("insert", prefix, pier), ("insert", prefix, news), around, find),
        steps(aspect, ("insert", prefix, pier), ("insert", prefix, news), ("insert", prefix, pier),
              ("insert", prefix, f"{news} 2"), find),
        steps(aspect, ("insert", one, pier), around, find, ("look_up", inside[2])),
        steps(aspect, ("insert", one, pier), ("insert", other, news), find),
        steps(aspect, ("insert", prefix, pier), ("withdraw", third), find),
        steps(aspect, ("insert", one, pier), ("insert", other, news), ("withdraw", other), find),
    ]  # fmt: skip


def _withdrawn(rng: random.Random) -> list[Question]:
    """Withdraw prefixes from between others; the longest ones come first, a wide one stays."""
    routes, inside = _table(rng)
    wide = ("10.0.0.0/7", "Bell")
    inserts: list[Call] = [("insert", *route) for route in (*routes[::-1], wide)]
    finds: list[Call] = [("look_up", address) for address in inside]
    wide_first: Call = ("insert", *wide)
    order = rng.sample([prefix for prefix, _ in routes], 3)
    in_turn = [call for prefix in order for call in (("withdraw", prefix), *finds)]
    return [
        *(steps("withdraw", *inserts, ("withdraw", prefix), *finds) for prefix, _ in routes),
        steps("withdraw", *inserts, *in_turn),
        steps("withdraw", *((*call[:2], "Bell") for call in inserts), *in_turn),
        steps(
            "withdraw",
            wide_first,
            ("insert", routes[1][0], "Bell"),
            ("insert", *routes[0]),
            ("withdraw", wide[0]),
            finds[1],
        ),
    ]


def _there_again(rng: random.Random) -> list[Question]:
    """Insert twice and withdraw once; insert again what was withdrawn."""
    routes, inside = _table(rng)
    (wide, bell), (prefix, pier), _ = routes
    insert, withdraw, find = ("insert", prefix, pier), ("withdraw", prefix), ("look_up", inside[1])
    news = ("insert", prefix, other_pier(rng, pier))
    around = ("insert", wide, bell)
    network, length = prefix.split("/")
    wider = prefix_of(int.from_bytes(bytes(map(int, network.split("."))), "big"), int(length) - 1)
    inner = f"{network}/{int(length) + 2}"
    return [
        steps("withdraw", insert, news, around, withdraw, find),
        steps("withdraw", insert, withdraw, news, around, find),
        steps("withdraw", insert, withdraw, news, withdraw, insert, around, find),
        steps("withdraw", ("insert", inner, "Bell"), insert, ("insert", wider, "Mast"),
              ("withdraw", inner), ("look_up", network), ("withdraw", prefix),
              ("look_up", network)),
    ]  # fmt: skip


def _not_there(rng: random.Random) -> list[Question]:
    routes, inside = _table(rng)
    wide, middle, narrow = routes
    insert, withdraw = ("insert", *wide), ("withdraw", wide[0])
    network, length = wide[0].split("/")
    first = int.from_bytes(bytes(map(int, network.split("."))), "big")
    beside = f"{text(first ^ 1 << 32 - int(length))}/{length}"
    return [
        steps("not there", insert, ("withdraw", middle[0])),
        steps("not there", insert, ("insert", *narrow), ("withdraw", middle[0])),
        steps("not there", insert, ("withdraw", f"{inside[0]}/32")),
        steps("not there", insert, ("withdraw", beside)),
        steps("not there", ("insert", *narrow), withdraw),
        steps("not there", ("insert", *narrow), insert, ("withdraw", "0.0.0.0/0")),
        steps("not there", insert, withdraw, withdraw),
        steps("not there", *[("look_up", inside[0])] * rng.randint(1, 6)),
        steps("not there", insert, ("insert", *narrow), ("look_up", "192.0.2.1")),
    ]
