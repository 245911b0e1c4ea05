"""Say in words what the diagram of a header shows: title, notes, one sentence, and a table."""

__all__ = ["counted", "listed", "note_lines", "table", "words_of"]

import textwrap
from collections.abc import Sequence

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_fields import FieldReading, HeaderReading

_ROW_BITS = 32
_NOTE_LETTERS, _TITLE_LETTERS = 104, 76  # as many as find room in a line


def words_of(reading: HeaderReading, changed: frozenset[int]) -> Words:
    """Return what there is, or what has changed; a table of the fields; what is read out.

    Read out are a sentence for the shape, one for the values, one each for what is special.
    """
    name, need, present = reading.layout.name, reading.layout.octets, len(reading.octets)
    rows, notes = -(-reading.bits // _ROW_BITS), note_lines(reading)
    article = "an" if name[0] in "AEIO" else "a"
    spoken = [
        f"Diagram of {article} {name} header, {_ROW_BITS} bits wide, {counted(rows, 'row')}",
        ", ".join(f"{field.words} {field.text}" for field in reading.fields).capitalize(),
    ]
    title = f"{name} header: {present} octets in {rows} rows of {_ROW_BITS} bits"
    if present < need:
        title = f"{name} header cut short: {present} of {need} octets are there"
    if changed:
        fields = [one.words for one in reading.fields if not changed.isdisjoint(one.bits)]
        beginning = f"{name} header: {counted(len(changed), 'bit')} changed, in "
        title = beginning + listed(fields)
        if len(title) > _TITLE_LETTERS:
            title = f"{beginning}{len(fields)} fields"
        bits = listed([str(bit) for bit in sorted(changed)])
        plural = "s" if len(changed) > 1 else ""
        spoken.append(f"Changed: bit{plural} {bits}, in {listed(fields)}")
    spoken += [line.rstrip(".") for line in notes]
    head = ("octets", "bits", "field", "value", "in hexadecimal", "mark")
    lines = table([head, *(_twin_row(field, changed) for field in reading.fields)])
    text = "\n".join([title, *lines, "row by row:", *_rows_as_text(reading), *notes])
    return Words(title, text, ". ".join(spoken) + ".")


def note_lines(reading: HeaderReading) -> list[str]:
    """Return what is wrong with the header, and what follows it, in lines to print."""
    notes = [f"Note: {problem}." for problem in reading.problems]
    if reading.behind:
        verb = "follows" if reading.behind == 1 else "follow"
        notes.append(f"{counted(reading.behind, 'octet')} {verb} the header, not drawn here.")
    return [line for note in notes for line in textwrap.wrap(note, _NOTE_LETTERS)]


def table(rows: Sequence[Sequence[str]]) -> list[str]:
    """Return rows as lines, in which every column begins at the same place.

    >>> table([("field", "value"), ("protocol", "17")])
    ['field     value', 'protocol  17']
    """
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]


def counted(number: int, noun: str) -> str:
    """Return a number with its noun, which gets an s unless there is one.

    >>> counted(1, "bit"), counted(10_000, "error")
    ('1 bit', '10,000 errors')
    """
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def listed(words: list[str]) -> str:
    """Return words as a list in a sentence.

    >>> listed(["flags", "time to live", "checksum"])
    'flags, time to live and checksum'
    """
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 1 else words)


def _rows_as_text(reading: HeaderReading) -> list[str]:
    """Return the octets of each row, with what stands in its margin."""
    rows = [("bits", "octets", "")]
    for start in range(0, reading.bits, _ROW_BITS):
        last = min(start + _ROW_BITS, reading.bits) - 1
        octets = reading.octets[start // 8 : last // 8 + 1].hex(" ")
        rows.append((_span(start, last), _span(start // 8, last // 8), octets or "missing"))
    return table(rows)


def _twin_row(reading: FieldReading, changed: frozenset[int]) -> tuple[str, ...]:
    bits = reading.bits
    inside = [str(bit) for bit in sorted(changed) if bit in bits]
    mark = f"changed: bit{'s' if len(inside) > 1 else ''} {', '.join(inside)}" if inside else ""
    return (
        _span(bits.start // 8, (bits.stop - 1) // 8),
        _span(bits.start, bits.stop - 1),
        reading.words,
        reading.text,
        reading.hexadecimal,
        mark,
    )


def _span(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"
