"""Show what a student wrote in words as words, never as parts of a page.

The gradebook's pages show an answer in words as Markdown, in which HTML may stand, scripts too:
they would run for whoever looks at the page, with that person's rights. Pictures and links would
tell somebody elsewhere who looks, and when. Here the whole answer stands in one element for
preformatted text, escaped. Everything else on those pages is ours or is shown as code.
"""

__all__ = ["TextAsText", "as_text"]

import html
from typing import Any

from nbconvert.preprocessors import Preprocessor

STYLE = "white-space: pre-wrap; font: inherit"


class TextAsText(Preprocessor):
    """A step of the gradebook's pages that makes text of answers in words."""

    def preprocess_cell(self, cell: Any, resources: Any, _place: int) -> tuple[Any, Any]:
        """Change a cell that a student may write into, if it holds text."""
        about = cell.metadata.get("nbgrader", {})
        if cell.cell_type != "code" and about.get("solution"):
            cell.source = as_text(cell.source)
        return cell, resources


def as_text(text: str) -> str:
    """Return a piece of HTML that shows just this text.

    No line of it is empty or begins with a sign that Markdown knows, and no dollar is left to begin
    a formula.

    >>> as_text("<b>5 $")
    '<pre style="white-space: pre-wrap; font: inherit">&lt;b&gt;5 &#36;</pre>'
    """
    escaped = html.escape(text).replace("$", "&#36;").replace("\\", "&#92;")
    lines = "&#10;".join(escaped.splitlines())
    return f'<pre style="{STYLE}">{lines}</pre>'
