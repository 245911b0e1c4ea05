"""Questions about a router of parts (12.1): the public ones are two draws of many.

What one aspect asks for must not fall with another. So only "the order" has answers that leave by
another interface than they came, times to live above 200, and frames for others; only
"neighbours" has next hops and packets that leave after a wait; only "errors" has errors that are
sent. Elsewhere nobody may be told: what comes says an error itself.
"""

__all__ = ["ROUTER", "router_questions"]

import random

from course_lib.exercises.registry import Expected
from course_lib.runner.paper_parts import WORLD
from instructor.units.items import Question
from instructor.units.unit_12.router import counters, errors, neighbours, order


def router_questions(rng: random.Random) -> list[Question]:
    """Draw a world for each case, and what one clause asks for."""
    draws = (*order.DRAWS, *neighbours.DRAWS, *errors.DRAWS, *counters.DRAWS)
    return [draw(rng) for draw in draws]


def _example() -> Question:
    """Ask for the contract's example, in the world that students try things in."""
    station = WORLD["own"]["west"][1]
    packet = {
        "source": "192.0.2.7", "destination": "198.51.100.1", "time to live": 1,
        "sound": True, "says": "echo",
    }  # fmt: skip
    frame = {"to": station, "from": "00:00:5e:00:53:a7", "kind": "packet", "holds": packet}
    reply = {
        "source": "198.51.100.1", "destination": "192.0.2.7", "time to live": 64,
        "sound": True, "says": "echo reply",
    }  # fmt: skip
    sent = {"to": "00:00:5e:00:53:a7", "from": station, "kind": "packet", "holds": reply}
    return Question(
        "the order",
        (WORLD, [["receive", 0, "west", frame]]),
        "the contract's own example; RFC 1812, section 4.2.2.9",
        Expected(value=[[("west", sent)]]),
    )


ROUTER = (
    _example(),
    *router_questions(random.Random("what everybody may see")),
    *router_questions(random.Random("once more")),
)
