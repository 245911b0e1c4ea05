"""Questions of exercise 7.3: maps on which one way is cheapest, or several, or links cost nothing.

Under "cheapest ways" one way to each place is the cheapest, under "equal ways" several are to some
place; in both no link costs 0. A shape is a map in letters, "r" its root; each shows one thing
alone, and is drawn with names and costs of its own.
"""

__all__ = ["CHEAPEST", "EQUAL", "FREE", "PATHS", "path_questions"]

import random

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_07.misconceptions.right_paths import Link, RightPaths

CHEAPEST, EQUAL, FREE = "cheapest ways", "equal ways", "links that cost nothing"
PIERS = ("Bell", "Curlew", "Fern", "Gull", "Heron", "Lantern", "North", "Plover", "Reed", "Tern")

# RFC 2328, figure 3: the sample autonomous system, routers and networks; external routes left out.
SAMPLE = """
    RT1-N1 3  RT1-N3 1  RT2-N2 3  RT2-N3 1  RT3-N3 1  RT3-N4 2  RT3-RT6 8  RT4-N3 1  RT4-RT5 8
    RT5-RT4 8 RT5-RT6 7 RT5-RT7 6 RT6-RT3 6 RT6-RT5 6 RT6-RT10 7 RT6-Ib 7  RT7-RT5 6 RT7-N6 1
    RT8-N6 1  RT8-N7 4  RT9-N9 1  RT9-N11 3 RT10-RT6 5 RT10-N6 1 RT10-N8 3 RT10-Ia 5
    RT11-N8 2 RT11-N9 1 RT12-N9 1 RT12-N10 2 RT12-H1 10
    N3-RT1 0 N3-RT2 0 N3-RT3 0 N3-RT4 0 N6-RT7 0 N6-RT8 0 N6-RT10 0 N8-RT10 0 N8-RT11 0
    N9-RT9 0 N9-RT11 0 N9-RT12 0
"""
# RFC 2328, figure 8: the backbone of the same, in two areas.
BACKBONE = """
    RT3-RT6 8 RT6-RT3 6 RT4-RT5 8 RT5-RT4 8 RT5-RT6 7 RT6-RT5 6 RT5-RT7 6 RT7-RT5 6
    RT6-RT10 7 RT10-RT6 5 RT10-RT11 3 RT11-RT10 2 RT10-Ia 5 RT6-Ib 7
"""
TABLE_2 = "RFC 2328, section 2.2, Table 2; routers beyond RT5 and RT7 by networkx"
TABLE_5 = "RFC 2328, section 3.4, Table 5; RT6 and first hops read off figure 8"


def _links(text: str) -> list[Link]:
    """Read a map: ends and costs in turn."""
    words = text.split()
    return [
        (*ends.split("-", 1), int(cost))  # type: ignore[misc]
        for ends, cost in zip(words[::2], words[1::2], strict=True)
    ]


def _ask(aspect: str, text: str, root: str) -> Question:
    return Question(aspect, (_links(text), root))


def _printed(aspect: str, source: str, text: str, root: str, by: dict[str, str]) -> Question:
    """Ask for what a source prints; `by` maps first hops to places and costs in turn."""
    value = {}
    for hop, places in by.items():
        words = places.split()
        for place, cost in zip(words[::2], words[1::2], strict=True):
            value[place] = (int(cost), [hop])
    return Question(aspect, (_links(text), root), source, Expected(value=value))


PATHS = (
    _ask(EQUAL, "Plover-Reed 1 Plover-Gull 4 Reed-Gull 3", "Plover"),
    _printed(CHEAPEST, TABLE_5, BACKBONE, "RT3", {
        "RT6": "RT6 8 RT4 22 RT7 20 RT10 15 RT11 18 Ia 20 Ib 15 RT5 14"}),
    _printed(CHEAPEST, TABLE_5, BACKBONE, "RT4", {
        "RT5": "RT5 8 RT3 21 RT6 15 RT7 14 RT10 22 RT11 25 Ia 27 Ib 22"}),
    _ask(CHEAPEST, "Reed-Gull 2 Gull-Reed 2 Gull-Tern 3 Reed-Bell 7", "Reed"),
    _ask(CHEAPEST, "Reed-Gull 3 Reed-Tern 9 Tern-Gull 2", "Reed"),
    _ask(CHEAPEST, "Gull-Tern 4 Tern-Bell 1", "Gull"),
    _ask(CHEAPEST, "Gull-Tern 4 Tern-Bell 1 Gull-Bell 8", "Gull"),
    _ask(CHEAPEST, "Bell-Fern 6 Gull-Bell 2 Gull-Fern 10 Fern-Reed 1 Reed-Tern 2", "Gull"),
    _ask(CHEAPEST, "Bell-Reed 1 Reed-Tern 4 Tern-Gull 2 Gull-Heron 3 Bell-Heron 30", "Bell"),
    _ask(CHEAPEST, "Bell-Reed 1 Reed-Tern 1 Tern-Gull 1 Bell-Fern 5 Fern-Gull 4", "Bell"),
    _ask(CHEAPEST, "Plover-Reed 2 Plover-Reed 5 Reed-Gull 3", "Plover"),
    _ask(CHEAPEST, "Plover-Reed 5 Reed-Gull 3 Plover-Reed 2 Reed-Gull 4", "Plover"),
    _ask(CHEAPEST, "Bell-Gull 9 Bell-Gull 1 Gull-Reed 1 Bell-Fern 8", "Bell"),
    _ask(CHEAPEST, "Reed-Gull 2 Tern-Reed 1 Gull-Bell 4", "Reed"),
    _ask(CHEAPEST, "Plover-Reed 2 Heron-Gull 1 Reed-Bell 4 Gull-Heron 1", "Plover"),
    _ask(CHEAPEST, "Reed-Plover 2 Plover-Gull 5 Gull-Reed 1", "Plover"),
    _ask(EQUAL, "Bell-Gull 1 Bell-Reed 2 Gull-Tern 3 Reed-Tern 2 Tern-Fern 1", "Bell"),
    _ask(EQUAL, "Bell-Reed 1 Bell-Gull 2 Gull-Tern 3 Reed-Tern 4 Tern-Fern 1 Fern-Heron 2", "Bell"),
    _ask(EQUAL, "Bell-Tern 3 Bell-Reed 1 Bell-Gull 2 Gull-Lantern 3 Reed-Lantern 4 Tern-Lantern 2",
         "Bell"),
    _ask(EQUAL, "Reed-Bell 2 Bell-Fern 1 Bell-Gull 2 Fern-Tern 3 Gull-Tern 2", "Reed"),
    _ask(EQUAL, "Reed-Bell 2 Bell-Fern 1 Bell-Gull 2 Fern-Tern 3 Gull-Tern 2 Tern-North 1", "Reed"),
    _ask(EQUAL, "Reed-Gull 5 Reed-Fern 2 Fern-Bell 1 Bell-Gull 2 Gull-Heron 4", "Reed"),
    _ask(EQUAL, "Reed-Gull 1 Reed-Fern 1 Gull-Bell 3 Fern-Bell 4 Gull-Tern 2 Fern-Tern 2", "Reed"),
    _printed(FREE, TABLE_2, SAMPLE, "RT6", {
        "RT3": "RT3 6 N1 10 N2 10 N3 7 N4 8 RT1 7 RT2 7 RT4 7", "Ib": "Ib 7", "RT5": "RT5 6",
        "RT10": "RT10 7 Ia 12 N6 8 N7 12 N8 10 N9 11 N10 13 N11 14 H1 21 RT7 8 RT8 8 RT11 10 "
        "RT9 11 RT12 11"}),
    _ask(FREE, "Plover-Reed 2 Reed-Gull 0 Reed-Tern 0 Gull-Reed 2 Gull-Bell 1", "Plover"),
    _ask(FREE, "Plover-Reed 3 Plover-Gull 3 Reed-Gull 0 Gull-Bell 1", "Plover"),
    _ask(FREE, "Plover-Reed 3 Plover-Gull 3 Gull-Reed 0 Reed-Bell 1 Bell-Tern 2", "Plover"),
    _ask(FREE, "Plover-Reed 4 Plover-Gull 4 Reed-Gull 0 Gull-Bell 2 Bell-Tern 1", "Plover"),
    _ask(FREE, "Plover-Gull 0 Gull-Reed 4 Plover-Reed 4 Reed-Bell 0 Bell-Tern 0", "Plover"),
    _ask(FREE, "Gull-Tern 6 Gull-Reed 5 Reed-Bell 0 Bell-Tern 0", "Gull"),
)  # fmt: skip

# Each shape asks one thing alone; nothing else would be noticed there.
ONE_WAY = "ra 2 rb 9 ba 1"
BACK_TO_THE_ROOT = "ra 2 ar 2 ab 3 rc 7"
LONGER_BUT_CHEAPER = "ra 2 ab 3 rb 9"
LONGER_WITHOUT_OWN_LINK = "ra 1 ab 2 bc 1 rd 4 dc 5"
FAR_AWAY = "ra 1 ab 2 bc 3 cd 1"
OUT_OF_REACH = "ra 2 bc 1 ad 4 cb 1"
CHEAP_ONE_FIRST = "ra 2 ra 5 ab 1"
CHEAP_ONE_LAST = "ra 5 ab 4 ra 2 ab 1"
ON_ONE_WAY = (
    ONE_WAY, BACK_TO_THE_ROOT, LONGER_BUT_CHEAPER, LONGER_WITHOUT_OWN_LINK, FAR_AWAY, OUT_OF_REACH,
    CHEAP_ONE_FIRST, CHEAP_ONE_LAST,
)  # fmt: skip

TWO = "ra 1 rb 2 ac 3 bc 2"
TWO_AND_ON = "ra 1 rb 2 ac 3 bc 2 cd 1 de 2"
OWN_LINK_TOO = "rb 5 ra 2 ac 1 cb 2 bd 1"
THREE = "ra 1 rb 2 rc 3 ad 4 bd 3 cd 2"
THREE_AND_ON = "ra 3 rb 2 rc 1 ad 4 bd 5 cd 6 de 1"
SAME_FIRST_HOP = "ra 2 ab 1 ac 2 bd 3 cd 2"
SAME_FIRST_HOP_AND_ON = "ra 1 ab 1 ac 2 bd 3 cd 2 de 4"
ON_SEVERAL = (
    TWO, TWO_AND_ON, OWN_LINK_TOO, THREE, THREE_AND_ON, SAME_FIRST_HOP, SAME_FIRST_HOP_AND_ON,
)  # fmt: skip

NETWORK = "rn 2 na 0 nb 0 an 2 bn 3 ac 1 bd 2"
LATE_TIE = "ra 3 rb 3 ab 0 bc 1 cd 2"
LATE_TIE_FARTHER = "rc 1 ca 2 rb 3 ab 0 bd 1"
CHAIN = "ra 5 ab 0 bc 0 rc 6"
FREE_AT_ONCE = "ra 0 ab 4 rb 4 bc 0"
ON_NOTHING = (NETWORK, LATE_TIE, LATE_TIE, LATE_TIE_FARTHER, LATE_TIE_FARTHER, CHAIN, FREE_AT_ONCE)


def path_questions(rng: random.Random) -> list[Question]:
    """Draw each shape with names and costs of its own, and maps of six places."""
    shapes = {CHEAPEST: ON_ONE_WAY, EQUAL: ON_SEVERAL, FREE: ON_NOTHING}
    questions = [_drawn(rng, aspect, shape) for aspect, some in shapes.items() for shape in some]
    return [*questions, *(_map(rng, aspect) for aspect in (CHEAPEST, CHEAPEST, EQUAL, EQUAL, FREE))]


def _drawn(rng: random.Random, aspect: str, shape: str) -> Question:
    """Name the places of a shape, and make all costs larger."""
    words = shape.split()
    letters = sorted({letter for ends in words[::2] for letter in ends})
    names = dict(zip(letters, rng.sample(PIERS, len(letters)), strict=True))
    if shape in (LATE_TIE, LATE_TIE_FARTHER):  # who goes by names settles "b" before "a"
        names["b"], names["a"] = sorted((names["a"], names["b"]))
    factor = rng.randint(1, 6)
    links = [
        (names[ends[0]], names[ends[1]], factor * int(cost))
        for ends, cost in zip(words[::2], words[1::2], strict=True)
    ]
    if shape not in (CHEAP_ONE_FIRST, CHEAP_ONE_LAST):
        rng.shuffle(links)
    return Question(aspect, (links, names["r"]))


def _map(rng: random.Random, aspect: str) -> Question:
    """Draw a map, one after another, until it fits the aspect."""
    while True:
        places = rng.sample(PIERS, 6)
        links = [
            (start, end, rng.randint(1, 9))
            for start in places for end in places if start != end and rng.random() < 0.35
        ]  # fmt: skip
        if aspect == FREE:
            start, end, _ = links.pop()
            links = [one for one in links if one[:2] != (end, start)] + [(start, end, 0)]
        if HowManyWays(links, places[0]) == aspect:
            return Question(aspect, (links, places[0]))


class HowManyWays(RightPaths):
    """The aspect under which a map stands, or none if it says too little."""

    def result(self) -> str:
        """Count the cheapest ways."""
        costs = self.costs()
        others = [place for place in costs if place != self.root]
        if len(others) < 4:
            return ""
        free = [(start, end) for start, end, cost in self.arcs() if cost == 0]
        if free:
            used = [end in costs and start in costs and costs[start] == costs[end]
                    for start, end in free]  # fmt: skip
            dearer = _without_free(self.links, self.root)
            return FREE if all(used) and dearer != costs else ""
        return CHEAPEST if all(len(self.ways(one, costs)) == 1 for one in others) else EQUAL


def _without_free(links: list[Link], root: str) -> dict[str, int]:
    costs: dict[str, int] = CostsAlone([one for one in links if one[2]], root)
    return costs


class CostsAlone(RightPaths):
    """What places cost."""

    def result(self) -> dict[str, int]:
        """Return costs."""
        return self.costs()
