"""A small panel that reads the same as text and as a page.

Every panel has both forms, made from the same data: the page for the eye, the
text for a terminal or a screen reader. Marks are words and signs, never colour
alone. Whatever a student's code produced is shown as text.
"""

__all__ = ["Panel", "show"]

from dataclasses import dataclass
from html import escape

_STYLE = "border-left:4px solid #0072b2;padding:0.4em 0.8em;margin:0.3em 0;max-width:60em"
_CELL = "text-align:left;vertical-align:top;padding:0.1em 0.8em 0.1em 0"


@dataclass(frozen=True, slots=True)
class Panel:
    """A heading, labelled lines, points by part, and perhaps a table."""

    heading: str
    lines: tuple[tuple[str, str], ...]
    parts: tuple[tuple[str, float, float], ...] = ()
    columns: tuple[str, ...] = ()
    table: tuple[tuple[str, ...], ...] = ()

    def text(self) -> str:
        """Return the panel as plain text."""
        width = max((len(label) for label, _ in self.lines), default=0)
        body = [f"  {label:<{width}}  {line}" for label, line in self.lines]
        if self.parts:
            body.append("  " + "   ".join(_part(*part) for part in self.parts))
        return "\n".join([self.heading, *body, *self._table_text()])

    def html(self) -> str:
        """Return the panel as a fragment of a page; all content is escaped."""
        rows = "".join(
            f'<tr><th scope="row" style="{_CELL}">{escape(label)}</th>'
            f'<td style="{_CELL};white-space:pre-wrap">{escape(line)}</td></tr>'
            for label, line in self.lines
        )
        parts = " &nbsp; ".join(escape(_part(*part)) for part in self.parts)
        return (
            f'<div style="{_STYLE}"><strong>{escape(self.heading)}</strong>'
            f'<table style="border:0;margin:0">{rows}</table>'
            f"<div>{parts}</div>{self._table_html()}</div>"
        )

    def _repr_mimebundle_(self, **_: object) -> dict[str, str]:
        return {"text/plain": self.text(), "text/html": self.html()}

    def __str__(self) -> str:
        return self.text()

    def _table_text(self) -> list[str]:
        if not self.table:
            return []
        rows = [self.columns, *self.table]
        widths = [max(len(row[place]) for row in rows) for place in range(len(self.columns))]
        return [
            "  " + "  ".join(f"{cell:<{width}}" for cell, width in zip(row, widths, strict=True))
            for row in rows
        ]

    def _table_html(self) -> str:
        if not self.table:
            return ""
        head = "".join(
            f'<th scope="col" style="{_CELL}">{escape(name)}</th>' for name in self.columns
        )
        body = "".join(
            "<tr>" + "".join(f'<td style="{_CELL}">{escape(cell)}</td>' for cell in row) + "</tr>"
            for row in self.table
        )
        return (
            f'<table style="border:0"><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>'
        )


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


def _part(name: str, got: float, of: float) -> str:
    return f"{'✓' if got == of else '○'} {name} {got:g}/{of:g}"
