"""Text from strangers, made safe to look at: no hidden signs.

Ids, file names, notes and answers were written by students. Characters that cannot be seen
but change the order or the look of what can (direction marks, control characters) do harm even
where they are shown as text. What a spreadsheet would run is another matter, and made harmless
in `tables.py`; so is escaping for pages, in `pages.py`.
"""

__all__ = ["visible"]

import unicodedata

UNSEEN = frozenset({"Cc", "Cf", "Cs", "Zl", "Zp"})  # Unicode's general categories
KEPT = frozenset("\n\t")


def visible(text: str) -> str:
    r"""Write every character that cannot be seen as its code point, lone surrogates too.

    Line feeds and tabs stay. What comes back can always be encoded.

    >>> visible("top\u202egnp.exe")
    'top[U+202E]gnp.exe'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(_seen(character) for character in text)


def _seen(character: str) -> str:
    if character in KEPT or unicodedata.category(character) not in UNSEEN:
        return character
    return f"[U+{ord(character):04X}]"
