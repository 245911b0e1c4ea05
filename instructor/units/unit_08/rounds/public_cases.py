"""The public questions of 8.4, rows of packets.

Quanta differ where fairness is asked for, and are the same everywhere else.
"""

__all__ = ["ROUNDS"]

from course_lib.exercises.registry import Expected
from instructor.units.items import Question
from instructor.units.unit_08.rounds.secret_cases import SEND, Step, joins
from instructor.units.unit_10.secret_events import between, events

WORKED = "the worked case"
PAPER = "M. Shreedhar, G. Varghese, SIGCOMM 1995: octets, not packets, are shared out"


def _row(aspect: str, quanta: list[int], *steps: Step, source: str = "") -> Question:
    about = {"source": source} if source else {}
    return events(aspect, (quanta,), *steps, **about)


def _fair(quanta: list[int], *packets: tuple[int, int], sends: int, source: str = "") -> Question:
    steps = [*joins(*packets), *[SEND] * sends]
    return _row("fair in octets", quanta, *steps, source=source)


def _kept(quanta: list[int], *packets: tuple[int, int], sends: int) -> Question:
    return _row("what is kept", quanta, *joins(*packets), *[SEND] * sends)


def _order(quanta: list[int], *packets: tuple[int, int], sends: int) -> Question:
    return _row("the order of the list", quanta, *joins(*packets), *[SEND] * sends)


def _sizes(queue: int, *sizes: int) -> list[tuple[int, int]]:
    return [(queue, size) for size in sizes]


ROUNDS = (
    _fair([1500, 3000], *_sizes(0, *[1500] * 4), *_sizes(1, *[1000] * 9), sends=9, source=PAPER),
    _fair([1500, 1000], *_sizes(0, *[1500] * 3), *_sizes(1, *[500] * 6), sends=7, source=PAPER),
    _fair(
        [600, 1400, 300],
        *[*_sizes(0, *[600] * 3), *_sizes(1, *[700] * 6), *_sizes(2, *[100] * 9)],
        sends=13,
    ),
    _fair([1200, 900], *_sizes(0, 500, 600), *_sizes(1, 300, 400), sends=4),
    _fair([2100, 2000, 1300], (0, 200), (1, 800), (2, 500), (0, 300), (1, 900), (2, 700), sends=6),
    _fair([800, 790], *_sizes(0, 601, 651), *_sizes(1, 701, 591), sends=4),
    _fair([1300, 1290], *_sizes(0, 951, 1001), *_sizes(1, 981, 1101), sends=4),
    _fair([1000, 900, 800], (0, 1000), (1, 700), (2, 500), sends=3),
    _fair([900, 890], (0, 501), (0, 400), (1, 450), sends=3),
    _row(
        "fair in octets",
        [1000, 990],
        *[*joins((0, 1000), (1, 850), (1, 820), (1, 880)), SEND, SEND],
        *[*joins((0, 1000)), SEND, SEND, SEND],
    ),
    _fair([1400, 1350, 1300], (0, 1400), (1, 1200), (2, 1250), sends=3),
    _fair([500, 1000, 500], (0, 300), (1, 900), (2, 400), sends=3),
    _fair([600, 1500, 600], (0, 590), (1, 700), (2, 200), sends=3),
    _kept([1000, 1000], *_sizes(0, *[701] * 4), *_sizes(1, *[651] * 4), sends=8),
    _kept([800, 800], *_sizes(0, 561, 481, 521, 591), *_sizes(1, 451, 581, 501, 571), sends=8),
    _kept(
        [1500] * 3,
        *[*_sizes(0, *[1001] * 4), *_sizes(1, *[851] * 4), *_sizes(2, *[1101] * 4)],
        sends=12,
    ),
    _row(
        "what lapses",
        [1000, 1000],
        *[*joins((0, 601), *_sizes(1, *[901] * 4)), SEND, SEND],
        *[*joins((0, 621), (0, 581)), SEND, SEND, SEND, SEND],
    ),
    _row(
        "what lapses",
        [500, 500],
        *[*joins((0, 301), *_sizes(1, 451, 471, 441, 461)), SEND, SEND],
        *[*joins((0, 311), (0, 291)), SEND, SEND, SEND, SEND, SEND],
    ),
    _row(
        "what lapses",
        [1000, 1000],
        *[*joins((0, 631), *_sizes(1, 901, 931, 911, 921)), SEND, SEND],
        *[*joins((0, 601), (0, 400)), SEND, SEND, SEND, SEND],
    ),
    _row(
        "what lapses",
        [1000, 1000],
        *[*joins((0, 581), (1, 901), (1, 801)), SEND, *joins((0, 301)), SEND, SEND, SEND],
    ),
    _row(
        "what lapses",
        [700] * 3,
        *[*joins((0, 401), (1, 601), (2, 501), (1, 511), (2, 641)), SEND, *joins((0, 201))],
        *[SEND] * 5,
    ),
    _order([1000] * 4, (2, 801), (0, 901), (1, 751), (0, 711), (2, 731), (1, 851), sends=6),
    _order([600] * 4, (3, 451), (3, 561), (1, 501), (1, 471), (0, 541), (0, 431), sends=6),
    _order([800] * 4, (3, 701), (1, 401), (2, 301), sends=3),
    _order([500] * 4, (1, 451), (3, 301), (0, 251), (2, 401), sends=4),
    _row(
        "the order of the list",
        [1000] * 4,
        *[*joins((2, 801), (2, 901), (0, 751), (0, 851)), SEND],
        *[*joins((1, 701), (1, 951)), *[SEND] * 5],
    ),
    _row(
        "the order of the list",
        [500] * 4,
        *[*joins((0, 401), (0, 401), (1, 451), (1, 451)), SEND],
        *[*joins((3, 371), (3, 371)), *[SEND] * 5],
    ),
    _row("the order of the list", [900] * 4, *joins((3, 801), (1, 701)), *[SEND] * 3),
    _row("the order of the list", [900] * 4, SEND, *joins((2, 401), (0, 801)), *[SEND] * 4),
    between(
        "the order of the list",
        (([500, 500],), ([900, 900, 900],)),
        *[(0, "join", 0, 301), (1, "join", 0, 701), (1, "join", 2, 601), (0, "join", 1, 401)],
        *[(1, "send"), (0, "send"), (0, "send"), (1, "send")],
    ),
    between(
        "the order of the list",
        (([800, 800],), ([600, 600, 600],)),
        *[(1, "join", 1, 401), (0, "join", 0, 701), (0, "join", 1, 501), (1, "join", 2, 301)],
        *[(0, "send"), (1, "send"), (0, "send"), (1, "send")],
    ),
    # Packets larger than a quantum come last: who keeps nothing waits for ever there.
    events(
        "what is kept",
        ([500, 500],),
        *[*joins((0, 800), (1, 300), (1, 300)), SEND, SEND, SEND],
        source=WORKED,
        published=Expected(value=[None, None, None, (1, 300), (0, 800), (1, 300)]),
    ),
    _kept([400, 400], *_sizes(0, 1301, 701), *_sizes(1, *[351] * 6), sends=7),
    _kept([500] * 3, (0, 801), (1, 451), (2, 401), (2, 421), (2, 441), sends=5),
)
