"""A workbook as a page that stands alone: no script, nothing to load, pictures with their words.

Whoever reads by ear hears the sentence of a picture, and then the same as text, which is open here.
"""

__all__ = ["workbook_page"]

import base64
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import mistune
from markupsafe import Markup, escape
from nbformat import NotebookNode

from instructor.output.pages import render_page
from instructor.reading_edition.shown_outputs import Picture, Shown
from instructor.release.workbook_files import STUB

TEMPLATE = Path(__file__).parent / "templates" / "workbook.html"
ONLY_IN_THE_WORKBOOK = ("mark(", "show_progress(")  # cells that are such a call, and no more
INLINE = "data:image/svg+xml;base64,"


class Piece(NamedTuple):
    """What one cell becomes: words as markup, or code with what it shows."""

    words: Markup = Markup()
    code: str = ""
    is_yours: bool = False
    shown: tuple[Markup, ...] = ()


def workbook_page(workbook: NotebookNode, shown: Mapping[str, Sequence[Shown]]) -> str:
    """Return the page of a workbook; `shown` is what its code cells show, by their ids."""
    pieces = list(_pieces(workbook, shown))
    title = next(
        line[2:] for cell in workbook.cells for line in cell.source.splitlines()
        if cell.cell_type == "markdown" and line.startswith("# ")
    )  # fmt: skip
    return render_page(TEMPLATE, title=title, pieces=pieces)


def _pieces(workbook: NotebookNode, shown: Mapping[str, Sequence[Shown]]) -> Iterator[Piece]:
    for cell in workbook.cells:
        if cell.cell_type == "markdown":
            yield Piece(words=Markup(_words(cell.source)))  # ours alone: no student's text
        elif cell.source.strip() and not cell.source.startswith(ONLY_IN_THE_WORKBOOK):
            yield Piece(
                code=cell.source,
                is_yours=STUB in cell.source,
                shown=tuple(map(_as_markup, shown.get(cell.id, ()))),
            )


def _as_markup(one: Shown) -> Markup:
    if isinstance(one, Picture):
        address = INLINE + base64.b64encode(one.svg.encode()).decode()
        return Markup(
            '<figure><img src="{}" alt="{}"><details open><summary>The same as text</summary>'
            "<pre>{}</pre></details></figure>"
        ).format(address, one.spoken, one.text)
    return Markup("<pre>{}</pre>").format(one)


class _Words(mistune.HTMLRenderer):
    """Text cells as markup; pictures may stand in them, and empty heads of tables are no heads."""

    def image(self, text: str, url: str, title: str | None = None) -> str:
        if not url.startswith(INLINE):
            raise ValueError(f"the picture {url[:40]!r} is not in the workbook itself")
        return f'<img src="{escape(url)}" alt="{escape(text)}">'

    def block_code(self, code: str, info: str | None = None) -> str:
        return f"<pre>{escape(code)}</pre>\n"


def _cell(
    renderer: mistune.HTMLRenderer, text: str, align: str | None = None, head: bool = False
) -> str:
    name, scope = ("th", ' scope="col"') if head and text.strip() else ("td", "")
    return f"<{name}{scope}>{text}</{name}>\n"


def _markdown() -> Any:
    renderer = _Words(escape=False)  # text cells write 2<sup>32</sup>
    made = mistune.create_markdown(renderer=renderer, plugins=["table"])
    renderer.register("table_cell", _cell)
    return made


_words: Any = _markdown()
