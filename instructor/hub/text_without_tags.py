"""Show what a student wrote in words as words, never as parts of a page.

nbgrader shows an answer in words as Markdown, in which HTML may stand, scripts too: they
would run for whoever looks at the page, with that person's rights on the hub. Everything
else on its pages is ours or is shown as code.
"""

__all__ = ["TextWithoutTags", "without_tags"]

import re
from typing import Any

from nbconvert.preprocessors import Preprocessor

# What may follow "<" for it to begin a tag: the HTML standard, "tag open state".
TAG_BEGINS = re.compile(r"<(?=[A-Za-z/!?])")


class TextWithoutTags(Preprocessor):
    """A step of nbgrader's pages that takes the tags out of answers in words."""

    def preprocess_cell(self, cell: Any, resources: Any, _place: int) -> tuple[Any, Any]:
        """Change a cell that a student may write into, if it holds text."""
        about = cell.metadata.get("nbgrader", {})
        if cell.cell_type != "code" and about.get("solution"):
            cell.source = without_tags(cell.source)
        return cell, resources


def without_tags(text: str) -> str:
    """Return the text with a space behind each sign that would begin a tag.

    >>> without_tags("<b>if a < b and c<d")
    '< b>if a < b and c< d'
    """
    return TAG_BEGINS.sub("< ", text)
