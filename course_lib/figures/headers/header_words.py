"""Say in words what the diagram of a header shows: title, notes, one sentence, and a table."""

__all__ = ["Marks", "alternative_text", "counted", "listed", "note_lines", "text_twin", "title"]

import textwrap
from typing import NamedTuple

from course_lib.figures.headers.header_fields import FieldReading, HeaderReading

_ROW_BITS = 32
_NOTE_LETTERS, _TITLE_LETTERS = 112, 80  # as many as find room in a line
_TABLE_OCTETS = 16  # in one line


class Marks(NamedTuple):
    """The bits that a diagram marks: those that have changed, and one that was chosen."""

    changed: frozenset[int] = frozenset()
    chosen: int | None = None


def title(reading: HeaderReading, marks: Marks) -> str:
    """Return the title of the diagram: what there is, or what has changed."""
    name, need = reading.layout.name, reading.layout.octets
    present = len(reading.octets)
    if marks.changed:
        fields = _changed_fields(reading, marks)
        beginning = f"{name} header: {counted(len(marks.changed), 'bit')} changed, in "
        whole = beginning + listed([field.words for field in fields])
        return whole if len(whole) <= _TITLE_LETTERS else f"{beginning}{len(fields)} fields"
    if present < need:
        return f"{name} header cut short: {present} of {need} octets are there"
    rows = -(-reading.bits // _ROW_BITS)
    return f"{name} header: {present} octets in {rows} rows of {_ROW_BITS} bits"


def note_lines(reading: HeaderReading) -> list[str]:
    """Return what is wrong with the header, and what follows it, in lines to print."""
    notes = [f"Note: {problem}." for problem in reading.problems]
    if reading.behind:
        verb = "follows" if reading.behind == 1 else "follow"
        notes.append(f"{counted(reading.behind, 'octet')} {verb} the header, not drawn here.")
    return [line for note in notes for line in textwrap.wrap(note, _NOTE_LETTERS)]


def alternative_text(reading: HeaderReading, marks: Marks) -> str:
    """Return a sentence for the shape, one for the values, one each for what is special."""
    name, rows = reading.layout.name, -(-reading.bits // _ROW_BITS)
    article = "an" if name[0] in "AEIO" else "a"
    sentences = [
        f"Diagram of {article} {name} header, {_ROW_BITS} bits wide, {counted(rows, 'row')}",
        ", ".join(f"{field.words} {field.text}" for field in reading.fields).capitalize(),
    ]
    if marks.changed:
        bits = listed([str(bit) for bit in sorted(marks.changed)])
        names = listed([field.words for field in _changed_fields(reading, marks)])
        plural = "s" if len(marks.changed) > 1 else ""
        sentences.append(f"Changed: bit{plural} {bits}, in {names}")
    return ". ".join([*sentences, *(line.rstrip(".") for line in note_lines(reading))]) + "."


def text_twin(heading: str, reading: HeaderReading, marks: Marks) -> str:
    """Return a table with a line for every field: where it stands, what it holds, its marks."""
    head = ("octets", "bits", "field", "value", "in hexadecimal", "mark")
    table = [head, *(_twin_row(field, marks) for field in reading.fields)]
    widths = [max(len(row[place]) for row in table) for place in range(len(head))]
    lines = [
        "  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in table
    ]
    octets = textwrap.wrap(reading.octets.hex(" "), _TABLE_OCTETS * 3)
    return "\n".join([heading, *lines, "all octets:", *octets, *note_lines(reading)])


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


def _twin_row(reading: FieldReading, marks: Marks) -> tuple[str, ...]:
    bits = reading.bits
    changed = [str(bit) for bit in sorted(marks.changed) if bit in bits]
    mark = f"changed: bit{'s' if len(changed) > 1 else ''} {', '.join(changed)}" if changed else ""
    chosen = f"chosen: bit {marks.chosen}" if marks.chosen in bits else ""
    return (
        _span(bits.start // 8, (bits.stop - 1) // 8),
        _span(bits.start, bits.stop - 1),
        reading.words,
        reading.text,
        reading.hexadecimal,
        "; ".join(part for part in (mark, chosen) if part),
    )


def _changed_fields(reading: HeaderReading, marks: Marks) -> list[FieldReading]:
    return [field for field in reading.fields if not marks.changed.isdisjoint(field.bits)]


def _span(first: int, last: int) -> str:
    return str(first) if first == last else f"{first}-{last}"
