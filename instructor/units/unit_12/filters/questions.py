"""Questions about a filter with a memory (12.2): the public ones are two draws of many.

What one aspect asks for must not fall with another. Only "rules" has rules that overlap, sources,
protocols, another default than "drop", and whole packets of which somebody is told; only "ports"
has options of packets that pass; only "fragments" has fragments.
"""

__all__ = ["FILTER", "filter_questions"]

import random

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_06.case_parts import datagram
from instructor.units.unit_06.case_parts import ports as port_fields
from instructor.units.unit_10.secret_events import events
from instructor.units.unit_12.filters import fragments, ports, rules
from instructor.units.unit_12.filters.scene import ALL, RULES


def filter_questions(rng: random.Random) -> list[Question]:
    """Draw rules that overlap, ports at both ends of a range, and datagrams in pieces."""
    return [draw(rng) for draw in (*rules.DRAWS, *ports.DRAWS, *fragments.DRAWS)]


FILTER = (
    events(
        RULES,
        ([(ALL, ALL, None, None, "tell")], "pass", 1),
        (
            "judge",
            datagram(port_fields(60_000, 7, b""), source="192.0.2.1", destination="192.0.2.2"),
        ),
        source="the contract's own example",
        published=Expected(value=["tell"]),
    ),
    *filter_questions(random.Random("what everybody may see")),
    *filter_questions(random.Random("once more")),
)
