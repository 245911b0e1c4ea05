"""How much room words take, whatever sans-serif or monospaced face a machine has.

A page chooses the face, and the widths of faces differ. So widths are estimated for a wide one,
DejaVu Sans, by kinds of letters; in a narrower face some room stays
empty. The numbers are rounded up from memory of that face; tests hold them against a browser.
"""

__all__ = ["width_of", "wrapped"]

from collections.abc import Iterator

_NARROW = frozenset(" fijlrtI.,:;'|!/\\()[]-")
_WIDE = frozenset("mwMW@%…→")
_MONO, _BOLD = 0.602, 1.12


def width_of(words: str, size: float, look: str = "ink") -> float:
    """Return how wide words are at most, in pixels; `look` says whether mono or strong.

    >>> width_of("will", 10) < width_of("moon", 10) < width_of("moon", 10, "ink strong")
    True
    """
    if "mono" in look:
        return size * _MONO * len(words)
    return size * sum(map(_letter, words)) * (_BOLD if "strong" in look else 1)


def _letter(letter: str) -> float:
    if letter in _NARROW:
        return 0.42
    if letter in _WIDE or ord(letter) > 0x2FF:
        return 1.0
    return 0.65 if letter.islower() or letter.isdigit() else 0.79


def wrapped(words: str, room: float, size: float, look: str = "ink") -> list[str]:
    """Break words into lines that find room, between words, and within those that are too long.

    >>> wrapped("the packet leaves", 80, 12)
    ['the packet', 'leaves']
    """
    lines: list[str] = []
    for word in words.split(" "):
        for piece in _pieces(word, room, size, look):
            longer = f"{lines[-1]} {piece}" if lines else piece
            if lines and width_of(longer, size, look) <= room:
                lines[-1] = longer
            else:
                lines.append(piece)
    return lines


def _pieces(word: str, room: float, size: float, look: str) -> Iterator[str]:
    while width_of(word, size, look) > room:
        end = next(n for n in range(len(word), 0, -1) if width_of(word[:n], size, look) <= room)
        yield word[:end]
        word = word[end:]
    yield word
