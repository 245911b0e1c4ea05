"""Whose is an id that is on no roster? Proposals for a person, who alone confirms one.

Capitals, zeros in front of numbers, blanks and signs are where people and upload pages differ. An
id may stand among other words, such as a name. Last, one wrong letter is looked for. Nothing here
decides anything: several proposals are several.
"""

__all__ = ["Proposal", "proposals"]

import difflib
import re
import unicodedata
from collections.abc import Iterable, Mapping
from typing import NamedTuple

LIKE = 0.8  # share of letters in common, as `difflib` counts them
SHORTEST = 4  # signs of an id for which a wrong letter is looked for
WORDS = re.compile(r"[\w.@-]+")
PARTS = re.compile(r"[^\W_]+")
ZEROS = re.compile(r"(?<!\d)0+(?=\d)")


class Proposal(NamedTuple):
    """An id of the roster, and why it may be meant."""

    student: str
    why: str


def proposals(seen: str, roster: Mapping[str, str]) -> tuple[Proposal, ...]:
    """Return whose `seen` may be, likeliest first; `roster` holds names by ids.

    >>> proposals("S102", {"s102": "", "s103": ""})
    (Proposal(student='s102', why='the same but for capitals, zeros, blanks or signs'),)
    """
    by_key: dict[str, list[str]] = {}
    for student in roster:
        by_key.setdefault(_key(student), []).append(student)
    steps = (
        ("the same but for capitals, zeros, blanks or signs", _found([_key(seen)], by_key)),
        ("one of its words is this id", _found(_keys_of_words(seen), by_key)),
        ("it has this student's name", _by_name(seen, roster)),
        ("a letter or two apart", _nearly(seen, by_key)),
    )
    for why, students in steps:
        if students:
            return tuple(Proposal(one, why) for one in dict.fromkeys(students))
    return ()


def _key(text: str) -> str:
    """Return what is left of an id without capitals, blanks, signs and zeros in front.

    >>> _key("S-0012 "), _key("s12")
    ('s12', 's12')
    """
    plain = unicodedata.normalize("NFKC", text).casefold()
    return "".join(ZEROS.sub("", part) for part in PARTS.findall(plain))


def _keys_of_words(seen: str) -> list[str]:
    keys = [_key(word) for word in WORDS.findall(seen)]
    keys += [_key(part) for part in PARTS.findall(seen)]
    return [key for key in keys if key]


def _found(keys: Iterable[str], by_key: Mapping[str, list[str]]) -> list[str]:
    return [student for key in keys if key for student in by_key.get(key, ())]


def _by_name(seen: str, roster: Mapping[str, str]) -> list[str]:
    """Return those all of whose name stands in `seen`, in any order."""
    words = set(_words(seen))
    names = {student: set(_words(name)) for student, name in roster.items()}
    return [student for student, name in names.items() if len(name) > 1 and name <= words]


def _words(text: str) -> list[str]:
    return PARTS.findall(unicodedata.normalize("NFKC", text).casefold())


def _nearly(seen: str, by_key: Mapping[str, list[str]]) -> list[str]:
    key = _key(seen)
    if len(key) < SHORTEST:
        return []
    near = difflib.get_close_matches(key, by_key, n=3, cutoff=LIKE)
    return [student for one in near for student in by_key[one]]
