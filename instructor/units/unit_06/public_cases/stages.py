"""Questions about stages (6.3).

A stage travels as the text of a function; the driver makes the function of it.
"""

__all__ = ["CARRY", "PIERS", "carry_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import ask

Stage = tuple[str, str]
Packet = dict[str, Any]

PIERS = ("Plover", "Curlew", "Mast", "Board", "Office")
THROUGH, DROPS, FAULTY = "the way through", "drops", "faulty stages"

# Stages that change packets are only in "the way through", stages that drop only in "drops", and
# both of these send packets that are all alike: so one slip costs the points of one aspect.
AGE = "lambda packet: packet | {'ttl': packet['ttl'] - 1} if packet['ttl'] > 1 else 'too old'"
LIVES, AGAIN = ("rewrite", AGE), ("again", AGE)
LONGER = ("longer", "lambda packet: packet | {'ttl': packet['ttl'] + 1}")
HAND_ON = ("hand on", "lambda packet: packet")
EMPTIES = ("empty", "lambda packet: {}")
NO_BOATS = ("filter", "lambda packet: 'filtered' if packet['to'] == 'Plover' else packet")
NOT_OLD = ("life", "lambda packet: packet if packet['ttl'] > 1 else 'too old'")
QUIET = ("quiet", "lambda packet: '' if packet['ttl'] == 7 else packet")
SECONDS = (
    "seconds",
    "lambda packet, seen=[]: seen.append(1) or ('second' if len(seen) % 2 == 0 else packet)",
)
FORGETFUL = ("forgetful", "lambda packet: None")
TRUTHFUL = ("truthful", "lambda packet: True")
NEEDS_PORT = ("needs port", "lambda packet: packet['port'] and packet")
DIVIDES = ("divides", "lambda packet: packet if 60 / packet['ttl'] else packet")
ENDED = ("ended", "lambda packet: next(iter([]))")


def _packets(*pairs: tuple[str, int]) -> list[Packet]:
    return [{"to": to, "ttl": ttl} for to, ttl in pairs]


def _keeps_only(name: str) -> Stage:
    return "narrow", f"lambda packet: {{'{name}': packet['{name}']}}"


def _returns(text: str) -> Stage:
    return "odd", f"lambda packet: {text}"


TWO = _packets(("Mast", 3), ("Plover", 2))
THREE = _packets(("Board", 9), ("Mast", 2), ("Plover", 5))
MAST, BOAT = {"to": "Mast", "ttl": 4}, {"to": "Plover", "ttl": 4}
OLD, SEVEN = {"to": "Mast", "ttl": 1}, {"to": "Mast", "ttl": 7}

CARRY = (
    ask(THROUGH, [{"to": "Mast"}], []),
    ask(THROUGH, TWO, []),
    ask(THROUGH, [], []),
    ask(THROUGH, [], [LIVES]),
    ask(THROUGH, [{"to": "Mast", "ttl": 3}], [LIVES]),
    ask(THROUGH, [{"to": "Mast", "ttl": 3}], [LIVES, AGAIN]),
    ask(THROUGH, TWO, [LIVES, HAND_ON]),
    ask(THROUGH, THREE, [LIVES]),
    ask(THROUGH, THREE, [HAND_ON]),
    ask(THROUGH, [{"ttl": 3}], [LONGER, LIVES]),
    ask(THROUGH, THREE, [HAND_ON, _keeps_only("to")]),
    ask(THROUGH, [{}], [HAND_ON]),
    ask(THROUGH, [{}, MAST], [HAND_ON]),
    ask(THROUGH, TWO, [HAND_ON, EMPTIES]),
    ask(DROPS, [BOAT], [NO_BOATS]),
    ask(DROPS, [{"ttl": 3}, {"ttl": 1}], [("lower", NOT_OLD[1])]),
    ask(DROPS, [BOAT, MAST], [NO_BOATS, NOT_OLD]),
    ask(DROPS, [OLD, BOAT, MAST], [NO_BOATS, NOT_OLD, HAND_ON]),
    ask(DROPS, [BOAT, BOAT, MAST, BOAT], [NO_BOATS]),
    ask(DROPS, [OLD, MAST, OLD, BOAT], [NOT_OLD, NO_BOATS]),
    ask(DROPS, _packets(("Plover", 1)), [NOT_OLD, NO_BOATS]),
    ask(DROPS, _packets(("Plover", 1)), [NO_BOATS, NOT_OLD]),
    ask(DROPS, [SEVEN], [QUIET]),
    ask(DROPS, [MAST, SEVEN, SEVEN], [QUIET, HAND_ON]),
    ask(DROPS, [MAST], [SECONDS]),
    ask(DROPS, [MAST, MAST, MAST], [SECONDS]),
    ask(FAULTY, [MAST], [FORGETFUL]),
    ask(FAULTY, [{"to": "Mast"}], [NEEDS_PORT]),
    ask(FAULTY, [MAST], [TRUTHFUL]),
    ask(FAULTY, [MAST], [("reads", "lambda packet: int(packet['to']) and packet")]),
    ask(FAULTY, [{"to": "Mast"}, {"to": "Board"}], [NEEDS_PORT]),
    ask(FAULTY, [MAST], [HAND_ON, FORGETFUL]),
    ask(FAULTY, [MAST], [FORGETFUL, HAND_ON]),
    ask(FAULTY, [{"port": 9}, {"to": "Mast"}], [HAND_ON, NEEDS_PORT]),
    ask(FAULTY, [{"to": "Mast"}, {"to": "Board", "port": 7}], [NEEDS_PORT]),
    ask(FAULTY, [{"ttl": 3}, {"ttl": 0}], [DIVIDES, HAND_ON]),
    ask(FAULTY, [MAST], [HAND_ON, ENDED]),
    ask(FAULTY, [MAST], [HAND_ON, _returns("[]")]),
    ask(FAULTY, [MAST], [_returns("0"), HAND_ON]),
    ask(FAULTY, [MAST], [_returns("b'filtered'")]),
    ask(FAULTY, [MAST], [_returns("('filter', 'filtered')")]),
    ask(FAULTY, [MAST], [_returns("[packet]")]),
)  # fmt: skip


def carry_questions(rng: random.Random) -> list[Question]:
    """Draw packets, and stages that pass, change, drop or fail."""
    return [*_ways(rng), *_drops(rng), *_faults(rng)]


def _ways(rng: random.Random) -> list[Question]:
    questions = [ask(THROUGH, _drawn(rng, rng.randint(2, 4)), [])]
    for count in (1, 2, 3):
        stages = [LIVES, _marks(rng), _shifts(rng)]
        rng.shuffle(stages)
        questions.append(ask(THROUGH, _drawn(rng, rng.randint(2, 4)), stages[:count]))
    some = [*_drawn(rng, 2), {}]
    rng.shuffle(some)
    return [*questions, ask(THROUGH, some, [HAND_ON]), ask(THROUGH, some, [EMPTIES, HAND_ON])]


def _drops(rng: random.Random) -> list[Question]:
    questions = []
    for _ in range(4):
        boats, most = rng.sample(PIERS, 2), rng.randint(300, 900)
        stages = [_refuses(boats), _limits(most)]
        rng.shuffle(stages)
        other = next(name for name in PIERS if name not in boats)
        sizes = [rng.randint(20, most), rng.randint(most + 1, 1500)]
        kinds = [{"to": to, "size": size} for to in (boats[0], other) for size in sizes]
        packets = [*kinds, *rng.choices(kinds, k=3)]
        rng.shuffle(packets)
        questions.append(ask(DROPS, packets, stages))
    some = _drawn(rng, 1)
    silent = ("silent", f"lambda packet: '' if packet['size'] == {some[0]['size']} else packet")
    forgets = rng.randint(3, 5)
    counts = ("counts", "lambda packet, seen=[]: seen.append(1) or "
              f"(packet if len(seen) % {forgets} == 1 else 'not its turn')")  # fmt: skip
    return [
        *questions,
        ask(DROPS, some, [silent]),
        ask(DROPS, some, [HAND_ON, counts]),
        ask(DROPS, forgets * some + some, [counts]),
    ]


def _faults(rng: random.Random) -> list[Question]:
    """Draw faults: of several packets, the last one meets it, so that none comes behind."""
    wrong = rng.sample(("7", "1.5", "[packet]", "{'a', 'b'}", "packet['ttl']", "b'no'", "()"), 3)
    stages = [_returns(text) for text in wrong]
    stages += [FORGETFUL, TRUTHFUL, ENDED, _needs(rng), _breaks(rng)]
    questions = []
    for fault in stages:
        around = [HAND_ON, fault, ("behind", HAND_ON[1])][rng.randint(0, 1) :]
        questions.append(ask(FAULTY, _drawn(rng, 1), around))
    some, short = _drawn(rng, 1)[0], _drawn(rng, 1)[0]
    del short["to"]
    return [*questions, ask(FAULTY, [some, some, short], [("reads", "lambda p: p['to'] and p")])]


def _drawn(rng: random.Random, count: int) -> list[Packet]:
    return [
        {"to": rng.choice(PIERS), "ttl": rng.randint(4, 255), "size": rng.randint(20, 1500)}
        for _ in range(count)
    ]


def _marks(rng: random.Random) -> Stage:
    return "mark", f"lambda packet: packet | {{'mark': {rng.randint(1, 99)}}}"


def _shifts(rng: random.Random) -> Stage:
    return "wrap", f"lambda packet: packet | {{'size': packet['size'] + {rng.randint(1, 40)}}}"


def _refuses(some: list[str]) -> Stage:
    return "filter", f"lambda packet: 'filtered' if packet['to'] in {some} else packet"


def _limits(most: int) -> Stage:
    return "limit", f"lambda packet: packet if packet['size'] <= {most} else 'too large'"


def _needs(rng: random.Random) -> Stage:
    return "needs port", f"lambda packet: packet | {{'port': packet['port'] % {rng.randint(2, 9)}}}"


def _breaks(rng: random.Random) -> Stage:
    return "breaks", rng.choice((
        "lambda packet: int(packet['to']) and packet",
        "lambda packet: packet.no_such_field",
        "lambda packet: packet['to'][99] and packet",
        "lambda: {}",
    ))  # fmt: skip
