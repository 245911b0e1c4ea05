"""An answer's source is found, completed from other cells, and searched for borrowing."""

from concurrent.futures import ThreadPoolExecutor
from textwrap import dedent

import pytest

from course_lib.exercises.answer_source import (
    cell_that_defines,
    library_uses,
    stand_alone,
    without_magics,
)


def values(answer, cells, call="f(3)"):
    alone = stand_alone(answer, cells)
    space = {}
    exec(alone.before, space)
    exec(alone.source, space)
    return eval(call, space), alone


def test_the_last_cell_that_defines_a_name_counts():
    assert cell_that_defines("f", ["def f(): 1", "def f(): 2", "f(3)"]) == "def f(): 2"


@pytest.mark.parametrize(
    "cell", ["class f: pass", "f = lambda: 1", "f: int = 1", "import x as f", "g, f = 1, 2"]
)
def test_every_way_to_bind_a_name_counts(cell):
    assert cell_that_defines("f", ["f", cell, "other = 1"]) == cell


def test_a_cell_that_is_not_python_defines_nothing():
    assert cell_that_defines("f", ["def f(: pass"]) is None


def test_helpers_imports_and_constants_come_from_other_cells():
    cells = [
        "import math\nfrom os import path",
        "WEIGHT = OTHER * 2",
        "OTHER = math.floor(2.5)",
        "def help(x):\n    return x * WEIGHT",
        "print('this is never run')\nraise SystemExit",
    ]
    result, alone = values("def f(x):\n    return help(x)\n", cells)
    assert result == 12
    assert alone.added == ("OTHER", "WEIGHT", "help", "math")


def test_definitions_that_need_each_other_are_both_taken():
    cells = [
        "def even(n):\n    return n == 0 or odd(n - 1)",
        "def odd(n):\n    return n != 0 and even(n - 1)",
    ]
    assert values("def f(x):\n    return odd(x)\n", cells)[0] is True


def test_a_name_that_is_nowhere_is_reported():
    assert stand_alone("def f(x):\n    return lost(x)\n", []).missing == ("lost",)


def test_names_of_its_own_are_not_looked_for():
    answer = dedent("""
        import math
        K = 3
        def help(x): return x
        def f(x, *more, **named):
            y = [i for i in more]
            return help(K) + len(y)
    """)
    alone = stand_alone(answer, ["K = 9", "def help(x): return 0"])
    assert (alone.added, alone.missing, alone.before) == ((), (), "")


def test_the_same_cells_give_the_same_source_every_time():
    cells = [f"n{i} = {i}" for i in range(20)]
    answer = "def f():\n    return " + " + ".join(f"n{i}" for i in range(20))
    assert len({stand_alone(answer, cells).before for _ in range(5)}) == 1


@pytest.mark.parametrize(
    ("source", "clean"),
    [
        ("%%time\nx = 1", "\nx = 1"),
        ("!ls\nx = 1", "\nx = 1"),
        ("x = (7\n% 4)", "x = (7\n% 4)"),
    ],
)
def test_notebook_commands_are_left_out_but_remainders_are_not(source, clean):
    assert without_magics(source) == clean


@pytest.mark.parametrize(
    "source",
    [
        "from course_lib.headers import IPv4Header",
        "import course_lib.checksum as c",
        "def f(x):\n    from course_lib import checksum",
        "import importlib\nm = importlib.import_module('course_lib.checksum')",
        "m = __import__('scapy.all')",
        "from scapy.all import IP",
        "import dpkt",
    ],
)
def test_leaning_on_a_library_is_seen(source):
    assert library_uses(source)


@pytest.mark.parametrize(
    "source",
    ["import struct", "import numpy as np", "x = 'the course_lib folder'", "def f(: pass"],
)
def test_the_standard_library_and_plain_words_are_no_borrowing(source):
    assert library_uses(source) == ()


def test_what_an_exercise_allows_is_no_borrowing():
    source = "from course_lib.headers.errors import PacketError"
    assert library_uses(source, ("course_lib.headers.errors.PacketError",)) == ()


def test_answers_are_read_by_several_threads_at_once():
    answer = "def f(x):\n    return " + "(" * 40 + "x" + ")" * 40 + " + help(x)\n"
    cells = ["def help(x):\n    return x\n"] * 20
    with ThreadPoolExecutor(8) as pool:
        read = list(pool.map(lambda _: stand_alone(answer, cells).added, range(400)))
    assert set(read) == {("help",)}
