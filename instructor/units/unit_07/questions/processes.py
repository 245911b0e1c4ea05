"""Questions of exercise 7.6: rows of calls to a routing process.

What one aspect asks for must not fall with another. So under "telling" no line is cut and no time
goes by, "cut lines" has no ticks, and "time" no cuts. Own networks are there under "telling" alone
(but for one row that asks whether they stay), and elsewhere neighbours stand in alphabetical order.
"""

__all__ = ["CUT", "PROCESSES", "TELLING", "TIME", "process_questions"]

import random
from dataclasses import dataclass
from typing import Any

from instructor.units.items import Question
from instructor.units.unit_10.secret_events import between, events

TELLING, CUT, TIME = "telling", "cut lines", "time"
NEIGHBOURS = ("Curlew", "Gull", "Lantern", "Plover", "Skua")
PIERS = ("Bell Pier", "Fern Pier", "Heron Pier", "Reed Pier", "Tern Pier", "Wren Pier")
QUAYS = ("Cove Quay", "Mole Quay", "Sand Quay", "Yard Quay")
TIMES = "RFC 2453, sections 3.8 and 3.9.2"
AT_ONCE = "RFC 2453, sections 3.4.3 and 3.10.1"
TABLE = ("table",)
Step = tuple[Any, ...]


@dataclass(frozen=True)
class Scene:
    """Names and numbers of which rows are made."""

    hops: tuple[str, str, str]  # in alphabetical order
    piers: tuple[str, ...]
    quays: tuple[str, ...]
    metric: int
    cost: int
    start_s: int

    def costs(self, number: int = 2) -> dict[str, int]:
        """Return the costs of the lines to the first neighbours."""
        return {hop: self.cost + place for place, hop in enumerate(self.hops[:number])}

    def turned(self) -> dict[str, int]:
        """Return the costs of three lines, the neighbours in the opposite order."""
        return dict(reversed(self.costs(3).items()))

    def says(self, after_s: int, hop: int, *metrics: int | None) -> Step:
        """Let a neighbour tell its metrics to the first piers."""
        update = [
            (self.piers[place], metric)
            for place, metric in enumerate(metrics)
            if metric is not None
        ]
        return ("receive", self.start_s + after_s, self.hops[hop], update)

    def at(self, method: str, after_s: int, *hops: int) -> Step:
        """Call something that is told the time."""
        return (method, self.start_s + after_s, *(self.hops[hop] for hop in hops))


def _row(aspect: str, scene: Scene, quays: int, costs: dict[str, int], *steps: Step) -> Question:
    source = TIMES if aspect == TIME else AT_ONCE
    return events(aspect, (list(scene.quays[:quays]), costs), *steps, source=source)


def _telling(s: Scene) -> list[Question]:
    m, two = s.metric, s.costs()
    announce = s.at("announce", 2)
    return [
        _row(TELLING, s, 3, two, s.at("announce", 0)),
        _row(TELLING, s, 0, two, s.says(0, 0, m), announce),
        _row(TELLING, s, 0, s.costs(1), s.says(0, 0, m), s.says(1, 0, 16), announce),
        _row(TELLING, s, 0, s.turned(), s.says(0, 1, m)),
        _row(TELLING, s, 0, s.turned(), s.says(0, 2, m), s.says(1, 0, m - 1)),
        _row(TELLING, s, 0, two, s.says(0, 1, m, 2, 3, 4)),
        _row(TELLING, s, 1, two, s.says(0, 0, m), s.says(1, 1, None, m)),
        _row(TELLING, s, 1, two, s.says(0, 0, m), s.says(1, 0, m), s.says(1, 1, m + 1)),
        _row(TELLING, s, 2, two, s.says(0, 1, m)),
        _row(TELLING, s, 0, two, s.says(0, 1, m), s.says(3, 1, m + 3), s.says(4, 0, m + 1)),
        _row(TELLING, s, 4, two, s.says(0, 0, m), s.says(1, 0, 16), TABLE),
        _row(TELLING, s, 0, two, s.says(0, 0, 1, 0, 17, 16), TABLE),
        _row(TELLING, s, 0, two, s.says(0, 1, 14 - s.cost, 15 - s.cost), TABLE),
        _row(TELLING, s, 0, two, s.says(0, 0, m), s.says(1, 1, m - 1), TABLE),
        between(
            TELLING,
            (([], two), ([], s.costs(3))),
            (0, *s.says(0, 0, m)),
            (1, *s.says(1, 2, m)),
            (0, *TABLE),
            (1, *TABLE),
        ),
    ]  # fmt: skip


def _cut(s: Scene) -> list[Question]:
    m, two, three = s.metric, s.costs(), s.costs(3)
    cut, mend = s.at("cut", 5, 0), s.at("mend", 9, 0)
    return [
        _row(CUT, s, 0, two, s.says(0, 0, m), cut, TABLE),
        _row(CUT, s, 0, three, s.says(0, 0, m, m), s.says(1, 1, None, None, m), cut, TABLE),
        _row(CUT, s, 0, two, s.says(0, 0, m), s.says(1, 0, 16), s.says(2, 1, 2), cut, TABLE),
        _row(CUT, s, 0, two, cut, s.says(6, 0, m), TABLE),
        _row(CUT, s, 0, two, s.says(0, 1, m), cut, s.says(6, 0, 1), TABLE),
        _row(CUT, s, 0, three, cut, s.says(6, 1, m)),
        _row(CUT, s, 0, three, cut, s.says(6, 2, m), s.says(7, 2, m + 1)),
        _row(CUT, s, 0, s.costs(1), s.says(0, 0, m), cut, mend),
        _row(CUT, s, 0, two, s.says(0, 1, m), cut, mend),
        _row(CUT, s, 0, two, s.says(0, 1, m, 2), s.says(1, 0, None, None, 3), cut, mend, TABLE),
        _row(CUT, s, 0, three, cut, mend, s.says(10, 1, m)),
        _row(CUT, s, 0, three, s.says(0, 0, m), cut, mend, s.says(10, 0, m), TABLE),
    ]


def _time(s: Scene) -> list[Question]:
    m, two = s.metric, s.costs()

    def tick(after_s: int) -> Step:
        return s.at("tick", after_s)

    late = 180 + s.metric
    return [
        _row(TIME, s, 0, two, s.says(0, 0, m), tick(179), tick(180), TABLE),
        _row(TIME, s, 0, two, s.says(0, 1, m), tick(180), tick(299), TABLE, tick(300), TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, m, 2), s.says(100, 0, m), tick(late), TABLE),
        _row(TIME, s, 0, two, s.says(0, 1, m), s.says(100, 1, m), tick(200), tick(279), tick(280)),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(70, 0, m + 1), tick(late), TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(90, 1, m), tick(late), TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(40, 0, 16), tick(159), TABLE, tick(160),
             TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(20, 0, 16), tick(160), TABLE),
        _row(TIME, s, 0, two, s.says(0, 1, m), s.says(60, 1, 16), tick(210)),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(10, 0, 16), s.says(90, 0, 16), tick(132),
             TABLE),
        _row(TIME, s, 0, two, s.says(0, 1, m), s.says(10, 1, 16), s.says(90, 1, 16), tick(135),
             TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(30, 0, 16), s.says(60, 0, m), tick(late),
             TABLE, tick(240), TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(100, 0, 17), tick(late), TABLE),
        _row(TIME, s, 0, two, s.says(0, 0, 15 - s.cost), tick(60), tick(181), TABLE),
        _row(TIME, s, 0, two, s.says(0, 1, m), s.says(90, 0, m + 2), tick(late)),
        _row(TIME, s, 0, two, s.says(0, 1, m), tick(500)),
        _row(TIME, s, 0, two, s.says(0, 0, m), s.says(95, 1, m - 1), TABLE),
        _row(TIME, s, 0, two, s.says(0, 1, m), s.says(10, 1, 16), tick(100), TABLE),
        _row(TIME, s, 4, two, tick(late), tick(2 * late)),
        _row(TIME, s, 2, two, tick(100), tick(late)),
    ]  # fmt: skip


PUBLIC_SCENE = Scene(
    ("Gull", "Lantern", "Plover"), ("Reed Pier", "Heron Pier", "Tern Pier", "Bell Pier"), QUAYS,
    4, 1, 0,
)  # fmt: skip
PROCESSES = (*_telling(PUBLIC_SCENE), *_cut(PUBLIC_SCENE), *_time(PUBLIC_SCENE))


def process_questions(rng: random.Random) -> list[Question]:
    """Draw names and numbers for all rows, anew for each aspect."""
    return [*_telling(_scene(rng)), *_cut(_scene(rng)), *_time(_scene(rng))]


def _scene(rng: random.Random) -> Scene:
    one, two, three = sorted(rng.sample(NEIGHBOURS, 3))
    return Scene(
        (one, two, three),
        tuple(rng.sample(PIERS, 4)),
        tuple(rng.sample(QUAYS, 4)),
        rng.randint(3, 6),
        rng.randint(1, 3),
        rng.randint(1, 500),
    )
