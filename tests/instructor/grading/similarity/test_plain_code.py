"""Two pieces of code that do the same in the same order have one plain form."""

import ast

import pytest

from course_lib.exercises.answer_source import parse_cell
from instructor.grading.similarity.plain_code import constants_of, plain_code

ORIGINAL = """
LIMIT = 20

def shorten(words, longest):
    if longest < LIMIT:
        raise KeyError(longest)
    kept = []
    for word in words:
        kept.append(word.text[:LIMIT])
    return kept
"""


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("(words, longest)", "(words: list[str], longest: int) -> list"),
        ("KeyError(longest)", "ValueError(f'no: {longest}') from None"),
        ("word.text[", "word.content["),
        ("    kept = []\n", "    kept: list = []\n    spare = 3\n    spare_too = longest\n"),
        ("    kept = []\n", "    kept = []\n    longest = longest\n    pass\n    'a note'\n"),
        ("    kept = []\n", "    import math\n    assert LIMIT\n    kept = []\n"),
        ("LIMIT = 20", "OTHER, LIMIT = 3, 20"),
        ("LIMIT = 20", "@nobody\ndef other(): pass\nLIMIT: int = 20"),
    ],
)
def test_what_says_nothing_leaves_no_trace(old, new):
    assert old in ORIGINAL
    function = plain_code(ORIGINAL).partition("def shorten")[2]
    assert plain_code(ORIGINAL.replace(old, new)).endswith(function)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("LIMIT = 20", "LIMIT = 21"),
        ("longest < LIMIT", "longest <= LIMIT"),
        ("kept.append", "kept.remove"),
        ("return kept", "return words"),
        ("    kept = []\n", "    kept = []\n    spare = longest()\n"),
    ],
)
def test_what_does_something_stays(old, new):
    assert old in ORIGINAL
    assert plain_code(ORIGINAL.replace(old, new)) != plain_code(ORIGINAL)


def test_constants_from_elsewhere_are_written_out_too():
    constants = constants_of(ast.parse("MOST, LEAST = 7, -1\nMASK = 1 << 3\ncalled = f()"))
    plain = plain_code("def f(x):\n    return x % MOST - LEAST | MASK + called", constants)
    assert plain.endswith("return x % 7 - -1 | (1 << 3) + called")


def test_the_tree_that_others_read_too_stays_as_it_was():
    before = ast.dump(parse_cell(ORIGINAL))
    plain_code(ORIGINAL)
    assert ast.dump(parse_cell(ORIGINAL)) == before


@pytest.mark.parametrize(
    "source",
    ["def f(:", "x = " + "-" * 20_000 + "1", "x" * 300_000, "\ud800 = 1", "x = " + ".a" * 3000],
)
def test_code_made_to_hurt_has_none(source):
    assert plain_code(source) == ""
