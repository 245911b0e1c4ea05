"""The handbook as pages to look at and to print: one for each unit, and the whole."""

__all__ = ["WHOLE", "write_handbook"]

import pathlib
from collections.abc import Sequence

from markdown_it import MarkdownIt
from markupsafe import Markup

from course_lib.exercises.whole_file import write_whole
from instructor.handbook.unit_page import SLOWER_BY, UnitPage
from instructor.output.pages import render_page

TEMPLATE = pathlib.Path(__file__).parent / "templates" / "handbook.html"
WHOLE = "handbook.html"
MARKDOWN = MarkdownIt("commonmark", {"html": False})


def write_handbook(
    folder: pathlib.Path, pages: Sequence[UnitPage], missing: Sequence[str]
) -> tuple[pathlib.Path, ...]:
    """Write a page for each unit and one with all; return the paths, the whole first.

    `missing` are units without a text: the whole says so.
    """
    folder.mkdir(parents=True, exist_ok=True)
    written = [folder / WHOLE]
    write_whole(written[0], _rendered(pages, missing, is_whole=True))
    for page in pages:
        written.append(folder / f"{page.name}.html")
        write_whole(written[-1], _rendered([page], (), is_whole=False))
    return tuple(written)


def _rendered(pages: Sequence[UnitPage], missing: Sequence[str], *, is_whole: bool) -> str:
    return render_page(
        TEMPLATE, pages=pages, missing=missing, is_whole=is_whole, whole=WHOLE,
        slower_by=SLOWER_BY, blocks=_blocks, line=_line,
    )  # fmt: skip


def _blocks(text: str) -> Markup:
    """Return Markdown as paragraphs and lists; markup in it is shown as text."""
    return Markup(MARKDOWN.render(text))


def _line(text: str) -> Markup:
    """Return a line of Markdown, without a paragraph around it."""
    return Markup(MARKDOWN.renderInline(text))
