"""Draw the books of a router as a balance: what came in or was made, and what has become of it.

The beam tilts if one side is more than the other. With a router that keeps its books it never does:
that is the law. What the last step has counted carries a label such as "+1".
"""

__all__ = ["books_in_words", "books_scale", "tilt"]

from course_lib.figures.drawing.letters import width_of
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import box, label, path
from course_lib.figures.tracing.journey_places import Books

_SMALL, _LARGE = 12.5, 18.0
_ARM, _ROW = 62.0, 17.0  # half of the beam; from line to line
_MOST = 12.0  # pixels that an end of the beam goes up or down at most
_SIDES = (
    (("waited", "waited before"), ("received", "came in"), ("made", "made")),
    (("sent", "sent"), ("taken", "taken in"), ("dropped", "dropped"), ("waiting", "waiting"),
     ("on_its_way", "on the way")),
)  # fmt: skip


def tilt(books: Books) -> float:
    """Return how far the right end of the beam is below its place, in pixels: 0 if it levels."""
    return max(-_MOST, min(_MOST, 4.0 * (books.gone - books.came)))


def books_scale(books: Books, before: Books, x: float, y: float) -> list[Part]:
    """Return the balance around its pivot at `x` and `y`; `before` are the books a step ago."""
    down = tilt(books)
    parts = [
        Part(
            "beam",
            path("chosen", f"M{x - _ARM:g} {y - down:g}L{x + _ARM:g} {y + down:g}")
            + path("calm", f"M{x:g} {y:g}l9 15h-18z"),
        ),
        Part("the books", label("The books", x, y - 30, "quiet", _SMALL, "middle")),
    ]
    for side, total, turn in zip(_SIDES, (books.came, books.gone), (-1, 1), strict=True):
        middle, top = x + turn * _ARM, y + turn * down
        number = label(str(total), middle, top - 6, "ink strong", _LARGE, "middle")
        parts.append(Part(f"total {turn}", number))
        lines = [each for each in side if each[0] != "waited" or books.waited]
        for place, (name, words) in enumerate(lines):
            now, was = getattr(books, name), getattr(before, name)
            parts += _line(name, words, (now, now - was), (middle, y + 34 + _ROW * place), turn)
    return parts


def _line(
    name: str, words: str, numbers: tuple[int, int], at: tuple[float, float], turn: int
) -> list[Part]:
    """Write a number; one that has moved is bold, with how far it moved in a box beside it."""
    (x, y), (now, more) = at, numbers
    words = f"{words} {now}"
    look = "ink strong" if more else "ink" if now else "quiet"
    parts = [Part(f"count {name}", label(words, x, y, look, _SMALL, "middle"))]
    if more:
        change = f"{more:+d}".replace("-", "\N{MINUS SIGN}")
        width = width_of(change, _SMALL, "strong") + 8
        middle = x - turn * (width_of(words, _SMALL, look) / 2 + 1 + width / 2)
        parts.append(
            Part(
                f"moved {name}",
                box("alert", middle - width / 2, y - 12, width, 15, 7)
                + label(change, middle, y - 0.5, "on-mark strong", _SMALL, "middle"),
            )
        )
    return parts


def books_in_words(books: Books) -> str:
    """Return the balance as a sentence.

    >>> books_in_words(Books(0, 1, 1, 1, 0, 1, 0, 0))[:36]
    'The books: came in 1 + made 1 = 2; s'
    """
    sides = []
    for side, total in zip(_SIDES, (books.came, books.gone), strict=True):
        lines = [each for each in side if each[0] != "waited" or books.waited]
        terms = " + ".join(f"{words} {getattr(books, name)}" for name, words in lines)
        sides.append(f"{terms} = {total}")
    return f"The books: {'; '.join(sides)}."
