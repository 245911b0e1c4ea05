"""Draw a board of clauses: a mark for each, in a row for each standard, and one clause in words.

Outcomes are told apart by shape, word and colour: a disc with a tick, a square with a cross, a ring
with a bar through it, and an empty ring that is broken. Clauses for every router stand on the left
of a thin line, those that may be left out on its right.
"""

__all__ = ["board_scene", "conformance_figure"]

from itertools import count

from course_lib.conformance.board import Board, Outcome, Result
from course_lib.figures.conformance.board_words import (
    board_words,
    by_standard,
    count_words,
)
from course_lib.figures.drawing.letters import width_of, wrapped
from course_lib.figures.drawing.scene import Part, Press, Scene
from course_lib.figures.drawing.svg import Figure, box, element, group, label, path

_WIDTH, _MARGIN = 860.0, 20.0  # pixels, as all that follows
_LEFT, _STEP, _PER_LINE = 112.0, 18.0, 40  # where marks begin, how far apart, how many in a line
_TOP, _LINE, _ROW_GAP = 92.0, 19.0, 4.0
_RADIUS = 6.5
_SMALL, _TEXT_LINE = 12.6, 15.7
_MOST_LINES = 10  # of words about one clause
_NAMES = {"sent": "Sent", "had to come": "Had to come", "came": "Came",
          "what is wrong": "Differs", "why": "Why"}  # fmt: skip


def conformance_figure(board: Board, shown: str | None = None) -> Figure:
    """Return the picture of a board.

    shown: the name of the clause that is told in words; left out, the first one that failed.
    Raises `KeyError` if there is no such clause.

    >>> from course_lib.conformance.board import Board
    >>> conformance_figure(Board(())).title
    '0 clauses: no clauses'
    """
    failed = next((each for each in board.results if each.outcome == Outcome.FAILED), None)
    return board_scene(board, board[shown] if shown is not None else failed).figure()


def board_scene(board: Board, shown: Result | None, *, can_be_pressed: bool = False) -> Scene:
    """Return the scene of a board on which one clause is told in words.

    With `can_be_pressed` each clause can be (action "clause", with its name).
    """
    parts, y = [*_heading(board)], _TOP
    for standard, results in by_standard(board).items():
        row, y = _row(standard, results, shown, y)
        parts += row
    told, y = _told(shown, y + 8)
    touches = [
        Press(_key(each), f"{each.scenario.name}: {each.outcome}", "clause", each.scenario.name)
        for results in by_standard(board).values()
        for each in results
    ]
    words = board_words(board, shown)
    return Scene(words, (_WIDTH, y), (*parts, *told), tuple(touches) if can_be_pressed else ())


def _key(result: Result) -> str:
    return f"clause {result.scenario.name}"


def _heading(board: Board) -> list[Part]:
    title = label(f"{len(board.results)} clauses", _MARGIN, 26, "ink strong", 16)
    core = f"For every router, left of the line: {count_words(board.core)}."
    extras = f"May be left out, right of it: {count_words(board.extras)}."
    room = _WIDTH - 2 * _MARGIN
    return [
        Part("title", title),
        Part("core", label(core, _MARGIN, 66, "ink", _SMALL, room=room)),
        Part("extras", label(extras, _MARGIN, 82, "quiet", _SMALL, room=room)),
        *_legend(board),
    ]


def _legend(board: Board) -> list[Part]:
    """Draw the four marks with their names and how many there are of each."""
    parts, x = [], _MARGIN
    for outcome, number in board.counts().items():
        words = f"{outcome}: {number}"
        mark = _mark(outcome, x + _RADIUS, 42.0)
        parts.append(Part(f"legend {outcome}", mark + label(words, x + 19, 46.5, "ink", 13)))
        x += 19 + width_of(words, 13) + 30
    return parts


def _row(
    standard: str, results: list[Result], shown: Result | None, y: float
) -> tuple[list[Part], float]:
    """Draw the marks of one standard; return them, and where the next row begins."""
    parts = [Part(f"name {standard}", label(standard, _MARGIN, y + 13, "ink", 13))]
    core = sum(each.scenario.is_core for each in results)
    places = (core, len(results) - core)
    place = count()
    for each in results:
        at = next(place)
        # One place stays empty between the two kinds: there the line stands.
        at += not each.scenario.is_core and places[0] > 0
        line, column = divmod(at, _PER_LINE)
        x, middle = _LEFT + column * _STEP + _RADIUS, y + line * _LINE + 9
        around = _around(x, middle) if shown and shown.scenario == each.scenario else ""
        words = f"{each.scenario.name}: {each.outcome}"
        markup = group(words, _hit(x, middle), _mark(each.outcome, x, middle), around)
        parts.append(Part(_key(each), markup))
    if all(places):
        line, column = divmod(core, _PER_LINE)
        x, middle = _LEFT + column * _STEP + _RADIUS, y + line * _LINE + 9
        parts.append(Part(f"line {standard}", path("axis", f"M{x:g} {middle - 9:g}v18")))
    last = len(results) - (0 if all(places) else 1)
    return parts, y + (last // _PER_LINE + 1) * _LINE + _ROW_GAP


def _hit(x: float, y: float) -> str:
    return box("hit", x - _STEP / 2, y - _LINE / 2, _STEP, _LINE)


def _around(x: float, y: float) -> str:
    return box("chosen", x - 8.5, y - 8.5, 17, 17, 3)


def _mark(outcome: Outcome, x: float, y: float) -> str:
    match outcome:
        case Outcome.PASSED:
            tick = f"M{x - 3.6:g} {y + 0.2:g}l2.6 2.8l4.8 -5.6l-1.5 -1.2l-3.4 4l-1.2 -1.3z"
            return element("circle", cx=x, cy=y, r=_RADIUS, class_="calm") + path("on-mark", tick)
        case Outcome.FAILED:
            arms = "l1.4 -1.4l2.4 2.4l2.4 -2.4l1.4 1.4l-2.4 2.4l2.4 2.4l-1.4 1.4l-2.4 -2.4"
            cross = f"M{x - 3.8:g} {y - 2.4:g}{arms}l-2.4 2.4l-1.4 -1.4l2.4 -2.4z"
            square = box("alert", x - _RADIUS, y - _RADIUS, 2 * _RADIUS, 2 * _RADIUS)
            return square + path("on-mark", cross)
        case Outcome.NOT_REACHED:
            ring = element("circle", cx=x, cy=y, r=_RADIUS - 1, class_="neither")
            return ring + box("ink", x - 4, y - 1, 8, 2)
        case Outcome.NOT_TRIED:
            return element("circle", cx=x, cy=y, r=_RADIUS - 1, class_="gap")


def _told(shown: Result | None, y: float) -> tuple[list[Part], float]:
    """Write one clause in words below the marks; return that, and where it ends."""
    bottom = y + _MOST_LINES * _TEXT_LINE + 22
    room = _WIDTH - 2 * _MARGIN
    frame = box("box", _MARGIN - 8, y, room + 16, bottom - y - 10, 6)
    if shown is None:
        hint = label("No clause is shown in words.", _MARGIN, y + 20, "quiet", _SMALL)
        return [Part("told", frame + hint)], bottom
    words = next(
        (found for most in (3, 2, 1) if len(found := _lines(shown, most, room)) <= _MOST_LINES),
        _lines(shown, 1, room),
    )
    lines = [
        label(line, _MARGIN, y + 20 + at * _TEXT_LINE, look, _SMALL, room=room)
        for at, (line, look) in enumerate(words[:_MOST_LINES])
    ]
    return [Part("told", frame + "".join(lines))], bottom


def _lines(shown: Result, most: int, room: float) -> list[tuple[str, str]]:
    """Return the lines about a clause with their looks; `most` as in `Result.lines`."""
    name, clause, *rest = shown.lines(most)
    words = [(name, "ink strong"), *((line, "ink") for line in wrapped(clause, room, _SMALL))]
    for line in rest:
        kind, _, said = line.partition(": ")
        look = "ink strong" if kind == "what is wrong" else "ink"
        full = f"{_NAMES[kind]}: {said}"
        words += [(piece, look) for piece in wrapped(full, room, _SMALL, look)]
    return words
