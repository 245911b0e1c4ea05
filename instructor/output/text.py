"""Text from strangers, made safe to look at: no hidden signs, no formulas.

Ids, file names, notes and answers were written by students. Two things in them do
harm even where they are shown as text: characters that cannot be seen but change
the order or the look of what can (direction marks, control characters), and table
cells that a spreadsheet takes for a formula. Escaping for pages is another matter,
and done in `pages.py`.
"""

__all__ = ["inert_cell", "visible"]

import re
import unicodedata

UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})  # Unicode's general categories
KEPT = frozenset("\n\t")
FORMULA = re.compile(r"\t|\s*[=+\-@＝＋－＠]")  # the full-width signs start formulas too


def visible(text: str) -> str:
    r"""Write every character that cannot be seen as its code point, lone surrogates too.

    Line feeds and tabs stay. What comes back can always be encoded.

    >>> visible("top\u202egnp.exe")
    'top[U+202E]gnp.exe'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_seen(character) for character in text)


def inert_cell(cell: str) -> str:
    """Return a cell for a CSV table; what a spreadsheet would run starts with a quote.

    >>> inert_cell("=1+1")
    "'=1+1"
    """
    text = visible(cell)
    return "'" + text if FORMULA.match(text) else text


def _seen(character: str) -> str:
    if character in KEPT or unicodedata.category(character) not in UNSEEN:
        return character
    return f"[U+{ord(character):04X}]"
