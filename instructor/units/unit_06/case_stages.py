"""Questions about stages (6.3), and about a stage that remembers (6.5).

A stage travels as the text of a function; the driver makes the function of it.
"""

__all__ = ["CARRY", "carry_questions", "dropper_questions"]

import random
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_06.case_parts import ask, steps

Stage = tuple[str, str]
Packet = dict[str, Any]

PIERS = ("Plover", "Curlew", "Mast", "Board", "Office")
AGE = "lambda packet: packet | {'ttl': packet['ttl'] - 1} if packet['ttl'] > 1 else 'too old'"
HAND_ON = ("hand on", "lambda packet: packet")
FORGETFUL = ("forgetful", "lambda packet: None")
TRUTHFUL = ("truthful", "lambda packet: True")
NEEDS_PORT = ("needs port", "lambda packet: packet['port'] and packet")
NO_BOATS = ("filter", "lambda packet: 'filtered' if packet['to'] == 'Plover' else packet")
LIVES = ("rewrite", AGE)


def _packets(*pairs: tuple[str, int]) -> list[Packet]:
    return [{"to": to, "ttl": ttl} for to, ttl in pairs]


def _keeps_only(name: str) -> Stage:
    return "narrow", f"lambda packet: {{'{name}': packet['{name}']}}"


TWO = _packets(("Mast", 3), ("Plover", 2))
FOUR = _packets(("Plover", 9), ("Mast", 1), ("Plover", 1), ("Board", 5))

CARRY = (
    ask("the way through", [{"to": "Mast", "ttl": 3}], []),
    ask("the way through", [{"to": "Mast", "ttl": 3}], [LIVES]),
    ask("the way through", [{"to": "Mast", "ttl": 3}], [LIVES, ("again", AGE)]),
    ask("the way through", TWO, [LIVES, HAND_ON]),
    ask("the way through", TWO, [HAND_ON, _keeps_only("to")]),
    ask("the way through", [], [LIVES]),
    ask("drops", [{"to": "Plover"}], [NO_BOATS]),
    ask("drops", TWO, [NO_BOATS, LIVES]),
    ask("drops", FOUR, [NO_BOATS, LIVES, HAND_ON]),
    ask("drops", FOUR, [LIVES, NO_BOATS]),
    ask("drops", _packets(("Plover", 1)), [LIVES, NO_BOATS]),
    ask("drops", FOUR, [LIVES, ("again", AGE), HAND_ON]),
    ask("faulty stages", [{"to": "Mast"}], [FORGETFUL, HAND_ON]),
    ask("faulty stages", [{"to": "Mast"}], [NEEDS_PORT, HAND_ON]),
    ask("faulty stages", [{"to": "Mast"}], [HAND_ON, TRUTHFUL]),
    ask("faulty stages", [{"to": "Mast"}, {"to": "Board", "port": 7}], [NEEDS_PORT]),
    ask("faulty stages", FOUR, [NO_BOATS, ("nothing", "lambda packet: []"), LIVES]),
    ask("faulty stages", [{"ttl": 4}, {"port": 9, "ttl": 2}, {}], [NEEDS_PORT, LIVES]),
)


def carry_questions(rng: random.Random) -> list[Question]:
    """Draw packets, and stages that pass, change, drop or fail."""
    questions = []
    for _ in range(5):
        stages = [LIVES, _marks(rng), _shifts(rng)]
        rng.shuffle(stages)
        packets = _drawn(rng, rng.randint(1, 3), lowest=3)
        questions.append(ask("the way through", packets, stages[: rng.randint(1, 3)]))
    for _ in range(6):
        stages = [LIVES, _refuses(rng), _limits(rng), _marks(rng)]
        rng.shuffle(stages)
        questions.append(ask("drops", _drawn(rng, 6, lowest=1), stages))
    for fault in (FORGETFUL, TRUTHFUL, _needs(rng), _needs(rng), _odd(rng)):
        stages = [_refuses(rng), LIVES, _marks(rng)]
        rng.shuffle(stages)
        stages.insert(rng.randint(0, 3), fault)
        questions.append(ask("faulty stages", _drawn(rng, 4, lowest=1), stages))
    return questions


def _drawn(rng: random.Random, count: int, lowest: int) -> list[Packet]:
    packets = []
    for _ in range(count):
        packet: Packet = {"to": rng.choice(PIERS), "ttl": rng.randint(lowest, lowest + 2)}
        packet["size"] = rng.randint(20, 1500)
        if rng.random() < 0.5:
            packet["port"] = rng.randint(1, 65535)
        packets.append(packet)
    return packets


def _marks(rng: random.Random) -> Stage:
    return "mark", f"lambda packet: packet | {{'mark': {rng.randint(1, 99)}}}"


def _shifts(rng: random.Random) -> Stage:
    return "wrap", f"lambda packet: packet | {{'size': packet['size'] + {rng.randint(1, 40)}}}"


def _refuses(rng: random.Random) -> Stage:
    some = rng.sample(PIERS, 2)
    return "filter", f"lambda packet: 'filtered' if packet['to'] in {some} else packet"


def _limits(rng: random.Random) -> Stage:
    most = rng.randint(300, 900)
    return "limit", f"lambda packet: packet if packet['size'] <= {most} else 'too large'"


def _needs(rng: random.Random) -> Stage:
    return "needs port", f"lambda packet: packet | {{'port': packet['port'] % {rng.randint(2, 9)}}}"


def _odd(rng: random.Random) -> Stage:
    returned = rng.choice(("7", "[packet]", "('filtered',)", "packet['ttl']", "b'filtered'"))
    return "odd", f"lambda packet: {returned}"


# 6.5


def dropper_questions(rng: random.Random) -> list[Question]:
    """Draw periods and flows; the counts are asked for at the end."""
    names = [f"{pier} {rng.randint(1, 9999)}" for pier in rng.sample(PIERS, 3)]
    questions = []
    for _ in range(6):
        every = rng.randint(2, 6)
        packets = rng.randint(every - 1, 3 * every)
        questions.append(steps("one flow", every, *([rng.choice(names)] * packets)))
    for _ in range(6):
        flows = [rng.choice(names) for _ in range(rng.randint(9, 14))]
        questions.append(steps("several flows", rng.randint(2, 4), *flows, *names))
    for every in (1, 0, -rng.randint(1, 9), 2, rng.randint(3, 5)):
        flows = [rng.choice(names) for _ in range(rng.randint(5, 10))]
        questions.append(steps("counts and edges", every, *flows, *names[:1], None))
    return questions
