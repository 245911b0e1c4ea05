"""An answer sees what a run of the cells above its check would show it, and no more."""

import gc
import os
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from textwrap import dedent

import pytest

from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.cells.needed_statements import needed
from course_lib.exercises.cells.statements import statements_of
from course_lib.runner.runner import run_answer


def values(cells, above=None, call="f(3)"):
    """Run an answer as its process does, and return what a call gives, and the answer."""
    alone = stand_alone("f", cells, above)
    space = {}
    for part in (alone.before, alone.source, alone.after):
        exec(part, space)
    return eval(call, space), alone


F = "def f(x):\n    return aid(x)\n"
HELP = "def aid(x):\n    return {}\n"

IN_ORDER = [
    pytest.param([HELP.format("x + 1"), F], 4, id="helper-above"),
    pytest.param([F, HELP.format("x + 1")], 4, id="helper-between-answer-and-check"),
    pytest.param([HELP.format(1), HELP.format(2), F, HELP.format(7)], 7, id="last-of-one-name"),
    pytest.param(["K = 1", "K = K + 1", "def f(x): return x + K"], 5, id="bound-from-itself"),
    pytest.param(["K = 1", "K += 1", "def f(x): return x + K"], 5, id="augmented"),
    pytest.param(["T = []", "for i in range(9):\n    T.append(i * i)", "def f(x): return T[x]"], 9,
                 id="filled-by-a-loop"),
    pytest.param(["T = {}", "i = 0", "while i < 9:\n    T[i] = -i\n    i += 1",
                  "def f(x): return T[x]"], -3, id="filled-by-a-while-loop"),
    pytest.param(["T = []\ndef fill(t):\n    for i in range(9): t.append(2 * i)", "fill(T)",
                  "def f(x): return T[x]"], 6, id="filled-by-a-function"),
    pytest.param(["def fill():\n    global T\n    T = list(range(5, 14))", "fill()",
                  "def f(x): return T[x]"], 8, id="bound-inside-a-function"),
    pytest.param(["calls = 0", "def f(x):\n    global calls\n    calls += 1\n    return calls"], 1,
                 id="counts-its-calls"),
    pytest.param(["def f(x):\n    global seen\n    seen = x\n    return seen"], 3,
                 id="binds-a-global-itself"),
    pytest.param(["def table():\n    return [K] * 9", "K = 4", "T = table()", "K = 5",
                  "def f(x): return T[x]"], 4, id="what-a-function-read-when-it-ran"),
    pytest.param(["from math import *", "def f(x): return floor(x + .5)"], 3, id="all-of-a-module"),
    pytest.param(["try:\n    import nowhere as m\nexcept ImportError:\n    import math as m",
                  "def f(x): return m.floor(x)"], 3, id="tried-import"),
    pytest.param(["class f:\n    pass", "def f(x): return 1", "f.more = 4",
                  "def f(x, old=f): return old.more"], 4, id="attribute-set-later"),
    pytest.param(["def f(x): return f.more", "f.more = 9"], 9, id="attribute-behind-the-answer"),
    pytest.param(["def twice(g): return lambda x: 2 * g(x)", "@twice\ndef f(x): return x"], 6,
                 id="own-decorator"),
    pytest.param(["def f(x): return x", "f = (lambda g: lambda x: g(x) + 1)(f)"], 4,
                 id="wrapped-by-hand"),
    pytest.param(["a, (b, *c) = 1, (2, 3, 4)", "def f(x): return a + b + c[1]"], 7, id="unpacked"),
    pytest.param(["import sys\nsys.setrecursionlimit(4000)",
                  "def f(x, n=2000): return f(x, n - 1) if n else x"], 3, id="deep-recursion"),
    pytest.param(["if True:\n    K = 2\nelse:\n    K = 3", "def f(x): return K"], 2,
                 id="either-or"),
    pytest.param(["max = lambda *_: 9", "del max", "def f(x): return max(x, 1)"], 3, id="deleted"),
    pytest.param(["def late(): return K", "K = 1", "def use(): return late()",
                  "seen = use()\nK = 2\nmore = use()", "def f(x): return seen, more"], (1, 2),
                 id="what-was-called-read-at-each-time"),
    pytest.param(["x = 0\n" + "x += 1\n" * 50, "def f(y): return x"], 50, id="fifty-times"),
    pytest.param(["K = 1", "if K:\n    K = 5", "def f(x): return K"], 5, id="bound-on-some-way"),
    pytest.param(["from functools import lru_cache\nimport functools",
                  "@functools.lru_cache\ndef f(x): return x"], 3, id="library-decorator"),
    pytest.param(["def even(n): return n == 0 or odd(n - 1)",
                  "def odd(n): return n and even(n - 1)", "def f(x): return odd(x)"], True,
                 id="need-each-other"),
    pytest.param(["from functools import singledispatch",
                  "@singledispatch\ndef by(x): return 0", "@by.register\ndef _(x: int): return 4",
                  "@by.register(str)\ndef _(x): return 5", "def f(x): return by(x)"], 4,
                 id="registered-by-a-decorator"),
    pytest.param(["(f := lambda x: x * 5)"], 15, id="bound-on-the-way"),
    pytest.param(["with open('/dev/null') as K: pass", "def f(x): return K.closed"], True,
                 id="bound-by-with"),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "value"), IN_ORDER)
def test_an_answer_sees_what_a_run_from_the_top_would_show(cells, value):
    result, alone = values(cells)
    assert result == value
    assert alone.missing == ()


IN_PIECES = [
    pytest.param(["def f(x): return X", "X = aid(4)", "check", HELP.format("x")], 1, 4,
                 id="late-helper-of-another-cell"),
    pytest.param(["X = aid(4)\ndef f(x): return X", "check", HELP.format("x")], 1, 4,
                 id="late-helper-for-the-answer-s-cell"),
    pytest.param(["L = []\nX = aid(4)\ndef f(x): return L + [X]", "check", HELP.format("x")], 1,
                 [4], id="late-helper-for-a-later-line"),
    pytest.param(["L = K + 1; K = 4\ndef f(x): return L"], 1, 5, id="two-on-one-line"),
    pytest.param(["L = g()\nK = 4\ndef g(): return K\ndef f(x): return L"], 1, 4,
                 id="function-behind-its-call"),
    pytest.param(["L = g(); K = 4\ndef g(): return K\nfor i in range(L): L += i",
                  "def f(x): return L"], 2, 10, id="loop-behind-a-line-of-two"),
    pytest.param(["L = g(); K = 4\ndef g(): return K\nfor i in [1]: L += i\ndef f(x): return L"],
                 1, 5, id="loop-behind-a-line-of-two-in-its-own-cell"),
    pytest.param(["W = K * 2", "K = 4\ndef f(x): return W"], 2, 8,
                 id="another-cell-needs-the-answer-s-own"),
    pytest.param(["def go(): return K", "W = go()", "V = go()", "K = 4\ndef f(x): return W + V"], 4,
                 8, id="other-cells-need-it-in-a-call"),
    pytest.param(["def f(x): return T", "check", "T = []", "T.append(3)", "T.append(4)"], 1, [3, 4],
                 id="filled-below"),
    pytest.param(["def f(x): return T", "check", "T = [1]", "T.append(2)", "T = [3]"], 1, [1, 2],
                 id="bound-twice-below"),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "above", "value"), IN_PIECES)
def test_what_stands_too_late_runs_just_before_it_is_needed(cells, above, value):
    assert values(cells, above)[0] == value


FUTURE = "from __future__ import annotations"
NOTED = "def f(x: lost) -> nowhere: return x"


@pytest.mark.parametrize(
    "cells",
    [
        pytest.param([f"{FUTURE}\n{NOTED}"], id="own-cell"),
        pytest.param([f'"""Words."""\n{FUTURE}\nimport math\n{NOTED}'], id="behind-words"),
        pytest.param(["import math", FUTURE, f"A = math\n{NOTED}", "f.more = A"], id="cell-above"),
    ],
)
def test_annotations_that_wait_do_so_in_the_answer_s_process_too(cells):
    run = run_answer(stand_alone("f", cells), "f", [(3,)])
    assert (run.load_problem, [one.value for one in run.results]) == (None, [3])


SHOWS = [
    "print(f(1))", "f(1)", "assert f(1) == 'no'", "raise SystemExit", "1 / 0", "'text'",
    "for i in range(3): print(f(i))", "x = input()", "while True: pass", "mark('9.9')",
    "import course_lib.headers", "from course_lib.figures import *", "shown = explore(f)",
    "def test(): assert f(1) == 2\ntest()", "T = [f(i) for i in range(3)]",
    "try:\n    f(0)\nexcept ValueError as e: print(e)",
]  # fmt: skip


@pytest.mark.parametrize("line", SHOWS)
@pytest.mark.parametrize("where", ["above", "behind", "own cell, above", "own cell, behind"])
def test_what_only_shows_something_is_not_run(line, where):
    answer = "def f(x): return x\n"
    cells = {
        "above": [line, answer], "behind": [answer, line],
        "own cell, above": [f"{line}\n{answer}"], "own cell, behind": [f"{answer}{line}\n"],
    }[where]  # fmt: skip
    result, alone = values(cells)
    assert result == 3
    assert alone.whole.strip() == answer.strip()
    assert library_uses(alone.whole) == ()


@pytest.mark.parametrize(
    "cell",
    [
        "%%time\nimport math\n!ls\ndef f(x): return math.floor(x)",
        "%matplotlib inline\ndef f(x): return x\nf?\nf.more??\n?f",
        "%%capture shown\ndef f(x): return x",
    ],
)
def test_notebook_commands_in_the_cell_are_left_out(cell):
    assert values([cell])[0] == 3


def test_a_cell_for_another_program_binds_nothing():
    assert stand_alone("f", ["%%writefile f.py\ndef f(x): return 1"]) is None
    assert values(["def f(x): return 3", "%%bash\nf=2"])[0] == 3


def test_the_answer_stands_at_the_lines_of_its_cell():
    cell = "# words\nprint(1)\n\nK = 2; print(K); L = 3\n\ndef f(x):\n    return K + L + lost\n"
    alone = stand_alone("f", [cell])
    assert alone.source.splitlines()[3] == "K = 2; L = 3"
    assert len(alone.source.splitlines()) == len(cell.splitlines())
    assert alone.source.splitlines()[5:] == ["def f(x):", "    return K + L + lost"]
    assert alone.cell == cell


def test_a_decorator_s_line_stands_where_it_stood():
    alone = stand_alone("f", ["import functools\n\n@functools.cache\ndef f(x):\n    return x\n"])
    assert alone.source.splitlines()[2] == "@functools.cache"


BELOW = [
    pytest.param([HELP.format(1), F, "check", HELP.format(2)], 2, 1, (), id="above-goes-first"),
    pytest.param([F, "check", HELP.format(2)], 1, 2, ("aid",), id="only-below"),
    pytest.param([F, "check", HELP.format("K + 1"), "K = 4"], 1, 5, ("K", "aid"), id="twice-below"),
    pytest.param(["W = K * 2", "def f(x): return W", "check", "K = 4"], 2, 8, ("K",),
                 id="needed-while-running"),
    pytest.param(["def f(x): raise NotImplementedError", "check", "def f(x): return 1"], 1, 1,
                 ("f",), id="the-answer-itself"),
    pytest.param(["def f(x): raise NotImplementedError", "def f(x): return 1\ncheck"], 1, 1, (),
                 id="the-answer-in-the-check-s-own-cell"),
    pytest.param(["def f(x): return 5", "check", "def f(x): return 1"], 1, 5, (),
                 id="written-again-below"),
    pytest.param(["def f(x): return sum([x, 1])", "check", "sum = 8"], 1, 4, (),
                 id="built-in-below"),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "above", "value", "below"), BELOW)
def test_what_stands_below_the_check_is_used_only_where_nothing_is_above(
    cells, above, value, below
):
    result, alone = values(cells, above)
    assert (result, alone.below) == (value, below)


@pytest.mark.parametrize(
    "scratch",
    ["sum = 3", "sum = 'x'", "sum = [1]", "for sum in range(3): 1", "sum = max([1, 2])",
     "sum = 0\nfor i in range(9): sum += i"],
)  # fmt: skip
def test_a_number_called_like_a_built_in_function_is_not_called(scratch):
    assert values([scratch, "def f(x): return sum([x, 1])"])[0] == 4


USED_AS_FUNCTIONS = [
    "def f(x): return len([x, 1, 2])", "def f(x): return max([[x], []], key=len)[0]",
    "def f(x): return int(''.join(map(str, [x])))", "def f(x: list[int]) -> str: return x",
    "def f(x): return x if isinstance(x, (int, str)) else 0",
    "def f(x): return int(str.strip('3 '))",
    "def f(x):\n    try: return list(9)\n    except TypeError: return x",
    "def aid(x): return max(x, 1)\ndef f(x): return aid(x)",
]  # fmt: skip


@pytest.mark.parametrize("answer", USED_AS_FUNCTIONS)
@pytest.mark.parametrize("where", ["above", "below"])
def test_numbers_of_other_cells_never_stand_in_for_built_in_functions(answer, where):
    scratch = "len = 3; max = 7; str = 'words'; list = [1]; int = 5; TypeError = 'seen'"
    cells = [scratch, answer] if where == "above" else [answer, scratch]
    result, alone = values(cells)
    assert result == 3
    assert alone.added == ()
    assert values(["max = 5", "def f(x): return x + max"])[0] == 8


@pytest.mark.parametrize(
    "own", ["def sum(x): return 7", "sum = lambda x: 7", "from operator import neg as sum"]
)
def test_a_function_called_like_a_built_in_one_is(own):
    assert values([own, "def f(x): return sum(x)"])[0] in (7, -3)


def test_what_was_handed_out_never_hides_what_was_written():
    stub = 'def f(x):\n    """Contract."""\n    raise NotImplementedError\n'
    assert values(["def f(x): return 8", stub])[0] == 8
    assert stand_alone("f", [stub]).source.strip() == stub.strip()


@pytest.mark.parametrize("cell", ["def f(x) return 1", "def f(x):\n    nonlocal y\n", "f = (1"])
def test_a_cell_that_is_no_python_is_handed_on_for_its_error_to_be_told(cell):
    stub = "def f(x):\n    raise NotImplementedError\n"
    assert stand_alone("f", [stub, cell]).source == cell


def test_without_a_cell_that_binds_the_name_there_is_no_answer():
    assert stand_alone("f", ["g = 1", "print(f)"]) is None


def test_what_came_from_other_cells_is_named():
    cells = ["import math\nW = 2", "def aid(x):\n    return math.floor(x * W)", F, "print('x')"]
    assert values(cells)[1].added == ("W", "aid", "math")


def test_a_name_that_is_nowhere_is_reported():
    assert stand_alone("f", ["def f(x):\n    return lost(x)\n"]).missing == ("lost",)


def test_names_of_its_own_are_not_looked_for():
    answer = dedent("""
        import math
        K = 3
        def aid(x): return x
        def f(x, *more, **named):
            y = [i for i in more]
            return aid(K) + len(y)
    """)
    alone = stand_alone("f", ["K = 9", "def aid(x): return 0", answer])
    assert (alone.added, alone.missing, alone.before, alone.after) == ((), (), "", "")


def test_names_below_are_told_and_names_of_the_answer_s_own_cell_are_not():
    cells = ["check", "K = 1", "def f(x): return aid(K)\ndef aid(x): return x"]
    alone = stand_alone("f", cells, 1)
    assert (alone.below, alone.added, alone.missing) == (("f",), ("K",), ())


@pytest.mark.parametrize(
    "broken",
    ["def aid(x) return x", "aid = lambda x: x)", "aid: int = 3 +", "import aid, )",
     "from nowhere import aid as other, aid, +", "aid = await lost()"],
)  # fmt: skip
def test_a_name_that_only_broken_code_would_bind_is_told_apart(broken):
    alone = stand_alone("f", [broken, "def f(x): return aid(lost)"])
    assert (alone.unread, alone.missing) == (("aid",), ("lost",))


@pytest.mark.parametrize(
    "shows", ["await lost()", "async for x in y: pass", "[x async for x in y]"]
)
def test_what_waits_outside_of_a_function_costs_only_itself(shows):
    assert values([f"K = 3\n{shows}", f"{shows}\ndef f(x): return K"])[0] == 3


SEVERAL_ORDERS = """
from course_lib.exercises.answer_source import stand_alone
cells = [f"n{i} = [{i}]\\ndef g{i}(): n{i}.append(g{i + 1}(n{i}))" for i in range(20)]
names = " + ".join(f"n{i}" for i in range(20))
cells += ["g0()", f"def f():\\n    return {names} + lost + gone"]
cells += [f"m{i} = n{i}" for i in range(20)] + [f"m{i}.append(1)" for i in range(20)]
print(stand_alone("f", cells), stand_alone("f", cells[::-1]))
"""


def test_the_same_cells_give_the_same_source_in_every_process():
    said = {
        subprocess.run(
            [sys.executable, "-c", SEVERAL_ORDERS], check=True, capture_output=True, text=True,
            env={**os.environ, "PYTHONHASHSEED": str(seed)},
        ).stdout
        for seed in range(6)
    }  # fmt: skip
    assert len(said) == 1
    assert "n19" in said.pop()


class Looked(list):
    """Statements that count how often somebody looks at one."""

    times = 0

    def __getitem__(self, place):
        self.times += 1
        return super().__getitem__(place)


@pytest.mark.parametrize(
    ("start", "again"),
    [("x = 0", "x += 1"), ("x = []", "x.append(1)"), ("x = 0", "if x: x = 1"),
     ("from math import *", "from math import *\ny = tau"),
     ("x = []\ndef put(): x.append(1)", "put()")],
)  # fmt: skip
@pytest.mark.parametrize("lines", [50, 200])
def test_a_search_looks_at_each_statement_a_few_times_however_many_there_are(start, again, lines):
    cells = [f"{start}\n" + f"{again}\n" * lines, "def f(): return x, y"]
    line = Looked((number, one) for number, cell in enumerate(cells) for one in statements_of(cell))
    needed("f", line, len(line), len(line) - 1)
    assert line.times < 20 * len(line)


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


def test_an_import_that_the_function_reaches_is_leaning_wherever_it_stands():
    cells = ["from course_lib.checksum import ones_complement_sum as s", HELP.format("s(x)"), F]
    assert library_uses(stand_alone("f", cells).whole)


@pytest.mark.parametrize(
    "source",
    ["import struct", "import numpy as np", "x = 'the course_lib folder'", "def f(: pass"],
)
def test_the_standard_library_and_plain_words_are_no_borrowing(source):
    assert library_uses(source) == ()


def test_what_an_exercise_allows_is_no_borrowing():
    source = "from course_lib.headers.errors import PacketError"
    assert library_uses(source, ("course_lib.headers.errors.PacketError",)) == ()


@pytest.mark.parametrize(
    "source", ["import ipaddress", "from ipaddress import ip_address", "m = __import__('socket')"]
)
def test_what_of_python_would_be_the_answer_is_leaning_only_where_the_exercise_says_so(source):
    assert library_uses(source) == ()
    assert library_uses(source, may_not_use=("ipaddress", "socket"))


@pytest.fixture
def collector_that_lets_others_run():
    """Let threads change while a tree is made, as they do where something watches the collector."""

    def let_others_run(*_):
        time.sleep(0)

    thresholds = gc.get_threshold()
    gc.callbacks.append(let_others_run)
    gc.set_threshold(20)
    yield
    gc.set_threshold(*thresholds)
    gc.callbacks.remove(let_others_run)


@pytest.mark.usefixtures("collector_that_lets_others_run")
def test_answers_are_read_by_several_threads_at_once():
    nested = "-" * 60 + "x"

    def added(number):  # each its own: what was parsed before is kept
        aid = f"aid{number}"
        cells = [f"def {aid}(x):\n    return {nested}\n", f"def f(x): return {nested} + {aid}(x)\n"]
        return stand_alone("f", cells).added

    with ThreadPoolExecutor(8) as pool:
        assert list(pool.map(added, range(200))) == [(f"aid{number}",) for number in range(200)]
