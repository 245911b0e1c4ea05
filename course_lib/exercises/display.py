"""A small panel that reads the same as text and as a page.

Every panel has both forms, made from the same data: the page for the eye, the
text for a terminal or a screen reader. Marks are words and signs, never colour
alone. Whatever a student's code produced is shown as text.
"""

__all__ = ["Panel", "Row", "code_in", "panel_of", "show", "sign_of"]

import re
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import NamedTuple

from course_lib.exercises.feedback import Feedback
from course_lib.exercises.verdict import Outcome
from course_lib.figures.drawing import signs
from course_lib.figures.drawing.signs import Sign, drawn, style

AS_IT_IS = ("Seen", "Note")  # what stands there may be a student's: every character is shown
# A page that does not trust a workbook takes out style sheets and drawings, and keeps these.
_FRAME = "border-left:4px solid #6b737c;padding:0.4em 0.8em;margin:0.3em 0;max-width:60em"
_CELL = "text-align:left;vertical-align:top;padding:0.1em 0.8em 0.1em 0"
_TABLE = "border:0;margin:0.2em 0"
_STYLE = """
.hop-panel{display:flex;gap:.9em}
.hop-panel .hop-sign{flex:none;align-self:flex-start}
.hop-panel tr .hop-sign{vertical-align:-.1em}
.hop-panel .hop-spare{display:none}
.hop-panel tr{background:none!important}
.hop-panel .hop-word{font-size:1.15em}
.hop-panel .hop-sum>*{font-weight:bold;border-bottom:1px solid currentColor!important}
.hop-panel .hop-part{display:inline-block;margin:.25em .3em 0 0;padding:0 .5em;border-radius:.3em;
border:1.5px solid currentColor}
.hop-panel .hop-short{border-style:dashed}
"""

_SIGNS = {
    Outcome.RIGHT: signs.RIGHT,
    Outcome.PARTLY_RIGHT: signs.PARTLY,
    Outcome.WRONG: signs.WRONG,
    Outcome.BAD_VALUE: signs.WRONG,
    Outcome.TWO_RUNS_DIFFER: signs.WRONG,
    Outcome.ERROR: signs.STOPPED,
    Outcome.OUT_OF_TIME: signs.STOPPED,
    Outcome.DAMAGED: signs.STOPPED,
    Outcome.NO_ANSWER: signs.NONE,
    Outcome.COULD_NOT_TELL: signs.WAITS,
}


class Row(NamedTuple):
    """A row of a table; one that sums up those below it, or that has the mark of an outcome."""

    cells: tuple[str, ...]
    is_sum: bool = False
    outcome: Outcome | None = None


@dataclass(frozen=True, slots=True)
class Panel:
    """A heading, labelled lines, points by part, and perhaps a table.

    With an `outcome` its mark stands in front, and its word, which the heading must hold, stands
    out.
    """

    heading: str
    lines: tuple[tuple[str, str], ...]
    parts: tuple[tuple[str, float, float], ...] = ()
    columns: tuple[str, ...] = ()
    table: tuple[Row, ...] = ()
    outcome: Outcome | None = None

    def text(self) -> str:
        """Return the panel as plain text."""
        width = max((len(label) for label, _ in self.lines), default=0)
        body = [f"  {label:<{width}}  {line}" for label, line in self.lines]
        if self.parts:
            body.append("  " + "   ".join(_part(*part) for part in self.parts))
        sign = "" if self.outcome is None else f"{sign_of(self.outcome).character} "
        return "\n".join([sign + self.heading, *body, *self._table_text()])

    def html(self) -> str:
        """Return the panel as a fragment of a page; all content is escaped."""
        rows = "".join(
            f'<tr><th scope="row" style="{_CELL};white-space:nowrap">{escape(label)}</th>'
            f'<td style="{_CELL};white-space:pre-wrap">'
            f"{escape(line) if label in AS_IT_IS else code_in(line)}</td></tr>"
            for label, line in self.lines
        )
        parts = " ".join(_part_html(*part) for part in self.parts)
        sign = "" if self.outcome is None else drawn(sign_of(self.outcome), 40)
        return (
            f'<div class="hop-panel" style="{_FRAME}">'
            f"<style>{_STYLE}{style('.hop-panel')}</style>{sign}"
            f"<div><strong>{self._heading_html()}</strong>"
            f'<table style="{_TABLE}">{rows}</table>'
            f"<div>{parts}</div>{self._table_html()}</div></div>"
        )

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        return {"text/plain": self.text(), "text/html": self.html()}

    def __str__(self) -> str:
        return self.text()

    def _heading_html(self) -> str:
        if self.outcome is None:
            return escape(self.heading)
        before, _, after = self.heading.rpartition(f" · {self.outcome.value}")
        sign = sign_of(self.outcome)
        named = f'<span class="hop-word hop-{sign.look}">{escape(self.outcome.value)}</span>'
        return f"{_spare(sign)}{escape(before)} · {named}{escape(after)}"

    def _table_text(self) -> list[str]:
        if not self.table:
            return []
        rows = [self.columns, *(_with_sign(row) for row in self.table)]
        widths = [max(len(row[place]) for row in rows) for place in range(len(self.columns))]
        return ["  " + "  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]

    def _table_html(self) -> str:
        if not self.table:
            return ""
        head = "".join(
            f'<th scope="col" style="{_CELL}">{escape(name)}</th>' for name in self.columns
        )
        body = "".join(map(_row_html, self.table))
        return (
            f'<table style="{_TABLE}"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'
        )


def panel_of(words: Feedback, notes: Sequence[str] = ()) -> Panel:
    """Return what a check cell shows: the three lines, notes, and the points of each aspect."""
    lines = [("Asked", words.asked), ("Seen", words.seen), ("Next", words.next)]
    lines += [("Note", note) for note in (words.note, *notes) if note]
    return Panel(words.heading, tuple(lines), parts=words.aspects, outcome=words.outcome)


def sign_of(outcome: Outcome) -> Sign:
    """Return the mark of an outcome."""
    return _SIGNS[outcome]


def show(panel: Panel) -> None:
    """Display a panel in a workbook, or print it where there is none."""
    try:
        from IPython import get_ipython
        from IPython.display import display
    except ImportError:
        print(panel.text())
        return
    if get_ipython() is None:
        print(panel.text())
    else:
        display(panel)


def code_in(words: str) -> str:
    """Return words as markup, with what stands between backticks as code.

    >>> code_in("`x < 1` holds")
    '<code>x &lt; 1</code> holds'
    """
    return re.sub(r"`([^`\n]+)`", r"<code>\1</code>", escape(words))


def _with_sign(row: Row) -> tuple[str, ...]:
    if row.outcome is None:
        return row.cells
    return f"{sign_of(row.outcome).character} {row.cells[0]}", *row.cells[1:]


def _row_html(row: Row) -> str:
    cells = [escape(cell) for cell in row.cells]
    if row.outcome is not None:
        sign = sign_of(row.outcome)
        cells[0] = f"{drawn(sign, 14)} {_spare(sign)}{cells[0]}"
    look = ' class="hop-sum"' if row.is_sum else ""
    written = (f'<td style="{_CELL}">{cell}</td>' for cell in cells)
    return f"<tr{look}>{''.join(written)}</tr>"


def _spare(sign: Sign) -> str:
    """Return the character of a mark, seen only where its shape was taken out."""
    return f'<span class="hop-spare" aria-hidden="true">{sign.character} </span>'


def _part(name: str, got: float, of: float) -> str:
    return f"{'✓' if got == of else '○'} {name} {got:g}/{of:g}"


def _part_html(name: str, got: float, of: float) -> str:
    look = "hop-part" if got == of else "hop-part hop-short"
    return f'<span class="{look}">{escape(_part(name, got, of))}</span>'
