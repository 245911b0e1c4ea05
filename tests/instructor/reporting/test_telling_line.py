"""The one line of code that shows a belief: chosen by who wrote it, whatever names they chose."""

import pytest

from instructor.reporting.telling_line import (
    LONGEST,
    LONGEST_CELL,
    common_shapes,
    line_shapes,
    telling_line,
)

RIGHT = "def f(word):\n    offset = word & 0x1FFF\n    return offset * 8\n"
WRONG = "def f(word):\n    offset = word & 0x1FFF\n    return offset * 4\n"
RENAMED = "def f(given):\n    value = given & 0x1FFF\n    return value * 4\n"
OTHER = "def f(word):\n    return word >> 3\n"


def chosen(holding, others):
    right = [line_shapes(one) for one in others]
    return telling_line([line_shapes(one) for one in holding], right, common_shapes(right))


@pytest.mark.parametrize(
    ("holding", "others", "line"),
    [
        ([WRONG], [RIGHT, RIGHT], "return offset * 4"),
        ([WRONG, RENAMED], [RIGHT], "return offset * 4"),
        ([RENAMED, OTHER, WRONG], [RIGHT], "return value * 4"),
        (["def f(a):\n    b = a[0]\n    return a * 9\n"], [RIGHT], "return a * 9"),
        ([RIGHT], [RIGHT], ""),
        ([], [RIGHT], ""),
        (["def f(:"], [RIGHT], ""),
        (["x = 1\n"], [RIGHT], ""),
        (["def f(word):\n    'x = 2'\n    print(word)\n    pass\n"], [RIGHT], ""),
        ([f"def f(word):\n    return {'1' * LONGEST_CELL}\n"], [RIGHT], ""),
    ],
    ids=[
        "what the others do not write", "names play no part", "what most write",
        "closest to what is right", "nothing differs", "nobody", "no Python", "no function",
        "texts, prints and fillers", "an answer without end",
    ],
)  # fmt: skip
def test_the_line_is_the_one_that_tells(holding, others, line):
    assert chosen(holding, others) == line


def test_a_long_line_is_cut_and_says_so():
    line = chosen([f"def f(word):\n    return word + {'1' * 200}\n"], [])
    assert len(line) == LONGEST
    assert line.startswith("return word + 111")
    assert line.endswith("…")


def test_lines_are_numbered_as_python_does():
    """A form feed ends no line of Python's."""
    assert chosen(["def f(word):\n    text = '\x0c'\n    return word * 4\n"], [RIGHT]) == (
        "return word * 4"
    )
