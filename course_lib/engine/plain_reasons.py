"""Why can this function not be compiled? In one line, for people who have never met a compiler.

Numba answers with a page about types. Its first location is the place that matters; what it says
there is put into other words by the table below. What the table does not know is shown as Numba
says it, cut to a line.
"""

__all__ = ["plain_reason"]

import linecache
import re
from collections.abc import Iterable
from types import FunctionType

_LONGEST = 120  # characters of Numba's own words

# What Numba says, and what it means. {0}, {1} are the groups.
_WORDS = (
    (r"Unknown attribute '(\w+)' of type (\w+)", "{1} has no `{0}`"),
    (r"Untyped global name '(\w+)'", "`{0}` is nothing that machine code can use"),
    (r"NameError: name '(\w+)' is not defined", "there is no `{0}`"),
    (r"Cannot unify (.+?) and (.+?) for '(\w+)[.\d]*'", "`{2}` is {0} at one time, {1} at another"),
    (r"Use of unsupported NumPy function '([\w.]+)'", "`{0}` is not among what can be compiled"),
    (r"Unsupported array index type (\S+)", "places in a row are whole numbers, not {0}"),
    (r"for signature:\s+>>> (\w+)\((.*)\)\n", "there is no `{0}` for {1}"),
    (r"(\w+ calls itself, directly or by others)", "{0}"),
)

# Names of types, as a message may hold them, and what they are.
_TYPES = (
    (r"Literal\[str\]\([^)]*\)|unicode_type", "text"),
    (r"Literal\[int\]\([^)]*\)|u?int\d+", "whole number"),
    (r"Literal\[bool\]\([^)]*\)|\bbool\b", "True/False"),
    (r"float\d+", "number"),
    (r"\bnone\b", "None"),
    (r"OptionalType\(([\w /]+)\)", r"\1 or None"),
    (r"array\((?:number|whole number), 1d, C\)|\barray\b", "row of numbers"),
)


def plain_reason(error: BaseException, functions: Iterable[FunctionType]) -> str:
    """Return why Numba refuses these functions, with the line if it tells.

    The first of the functions is the rule, the others are what it calls.
    """
    said = str(error)
    words, place = _in_words(said), _place(said, list(functions))
    if place or "for signature" not in said:
        return place + words
    # It is in the code around the rule, which only takes the answer.
    return "its answer is of a kind that cannot be used"


def _in_words(said: str) -> str:
    for pattern, words in _WORDS:
        if found := re.search(pattern, said):
            return words.format(*(_type_words(group) for group in found.groups()))
    lines = [line for line in said.splitlines() if line and not line.startswith("Failed in")]
    first = lines[0].split(" Raised from")[0] if lines else "no reason given"
    return f"Numba says: {first[:_LONGEST].rstrip('.')}"


def _type_words(text: str) -> str:
    for pattern, words in _TYPES:
        text = re.sub(pattern, words, text)
    return text


def _place(said: str, functions: list[FunctionType]) -> str:
    """Return the first location in the message that lies in one of the functions, or nothing."""
    found = re.findall(r'File "([^"]+)", line (\d+):|Raised from (\S+) \((\d+)\)', said)
    for file, line, other_file, other_line in found:
        number, end = int(line or other_line), (file or other_file).rpartition("/")[2]
        for function in functions:
            code = function.__code__
            last = max((at for *_, at in code.co_lines() if at), default=0)
            if code.co_filename.endswith(end) and code.co_firstlineno <= number <= last:
                source = linecache.getline(code.co_filename, number).strip()
                return (
                    f"line {number - code.co_firstlineno + 1} of {function.__name__}, `{source}`: "
                )
    return ""
