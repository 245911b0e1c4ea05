"""What a loop binds before it reads it needs nothing from above, and all else does."""

import ast

import pytest

from course_lib.exercises.answer_source import stand_alone
from course_lib.exercises.cells.bound_before_read import bound_before_read

LOOPS = {
    "for n in range(4):\n    TABLE[n] = n\n": {"n"},
    "for line in LINES:\n    words, number = line.split()\n    TABLE[words] = number\n":
        {"line", "words", "number"},
    "for (a, *b), c in PAIRS:\n    TABLE[a] = b, c\n": {"a", "b", "c"},
    "for n in n:\n    TABLE[n] = n\n": set(),
    "for n in range(4):\n    last = TABLE[last]\n": {"n"},
    "for n in range(4):\n    TABLE[n] = last\n    last = n\n": {"n"},
    "for n in range(4):\n    total += n\n    total = 1\n": {"n"},
    "for n in range(4):\n    if n:\n        last = n\n    TABLE[n] = last\n": {"n"},
    "for n in range(4):\n    use = lambda: last\n    last = n\n": {"n", "use"},
    "for n in range(4):\n    pass\nelse:\n    TABLE[n] = 1\n": set(),
    "for TABLE[0] in range(4):\n    pass\n": set(),
    "while n:\n    n = TABLE[n]\n": set(),
}  # fmt: skip


@pytest.mark.parametrize(("source", "names"), LOOPS.items())
def test_a_loop_names_what_it_binds_first(source, names):
    assert bound_before_read(ast.parse(source).body[0]) == names


ABOVE = "for words, frame in course_lib.ferry.ARRIVALS.items():\n    print(words)"
TABLE = "TABLE = {}\nfor words in ('a', 'b'):\n    number = len(words)\n    TABLE[words] = number"
ANSWER = "def answer(one):\n    return TABLE[one]"


def test_a_loop_of_another_cell_with_the_same_name_stays_behind():
    assert "ferry" not in stand_alone("answer", [ABOVE, TABLE, ANSWER]).whole


def test_where_the_name_itself_is_needed_behind_the_loop_the_one_above_counts():
    again = "words = 'a'"
    found = stand_alone("answer", [again, TABLE, "def answer(one):\n    return words"])
    assert again in found.whole
    assert "for words" in found.whole
