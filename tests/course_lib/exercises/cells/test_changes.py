"""What changes a name that an answer needs is taken, wherever it stands; what only shows is not."""

import pytest

from course_lib.exercises.answer_source import stand_alone


def result(cells, call="f(3)"):
    """Run an answer as its process does, and return what a call gives."""
    alone = stand_alone("f", cells)
    space = {}
    for part in (alone.before, alone.source, alone.after):
        exec(part, space)
    return eval(call, space)


F = "def f(x): return T"
CHANGES = [
    pytest.param(["T = []", "def put(i): T.append(i)",
                  "def fill():\n    for i in range(3): put(i)", "fill()"], [0, 1, 2],
                 id="two-calls-deep"),
    pytest.param(["T = []", "def a(): b()", "def b(): c()", "def c(): d()", "def d(): T.append(1)",
                  "a()"], [1], id="four-calls-deep"),
    pytest.param(["T = []\ndef put(t): t.append(4)", "def fill(t): put(t)", "fill(T)"], [4],
                 id="handed-on-twice"),
    pytest.param(["def a(n):\n    if n: b(n - 1)", "def b(n):\n    T.append(n)\n    a(n)",
                  "T = []", "a(3)"], [2, 1, 0], id="in-a-circle"),
    pytest.param(["T = []", "class Row:\n    def __init__(self, n): T.append(n)", "Row(7)"],
                 [7], id="made-objects-register"),
    pytest.param(["T = []", "class Base:\n    def __init__(self, n):\n        T.append(n)",
                  "class Row(Base): pass", "Row(7)"], [7], id="as-their-base-does"),
    pytest.param(["class Book:\n    def __init__(self): self.rows = []\n"
                  "    def note(self, n):\n        self.rows.append(n)\n        return self",
                  "book = Book()", "first = book.note(2)", "T = book.rows"], [2],
                 id="method-of-an-own-class"),
    pytest.param(["class Count:\n    n = 0\n    def __call__(self):\n        self.n += 1\n"
                  "        return self.n", "count = Count()", "shown = count()", "T = count.n"], 1,
                 id="object-that-is-called"),
    pytest.param(["T = []", "fill = lambda: T.append(1)", "fill()"], [1], id="a-lambda"),
    pytest.param(["T = []", "add = T.append", "add(5)"], [5], id="a-method-by-another-name"),
    pytest.param(["T = {}", "def known(g):\n    T[g.__name__] = 1\n    return g",
                  "@known\ndef one(): pass"], {"one": 1}, id="own-decorator"),
    pytest.param(["T = {}", "def known(name):\n    def note(g):\n        T[name] = 1\n"
                  "        return g\n    return note", "@known('here')\ndef one(): pass"],
                 {"here": 1}, id="own-decorator-with-words"),
    pytest.param(["T = []", "[T.append(i) for i in range(2)]"], [0, 1], id="in-a-comprehension"),
    pytest.param(["T = []", "list(map(T.append, range(2)))"], [0, 1], id="by-map"),
    pytest.param(["T = []\ndef put(i): T.append(i)", "list(map(put, range(2)))"], [0, 1],
                 id="own-function-by-map"),
    pytest.param(["T = []", "T or T.append(1)"], [1], id="behind-or"),
    pytest.param(["T = [1, 2]", "last = T.pop()"], [1], id="value-kept"),
    pytest.param(["T = {}", "rows = T.setdefault('a', [])", "rows.append(2)"], {"a": [2]},
                 id="value-kept-and-filled"),
    pytest.param(["T = {}", "T.setdefault('a', []).append(2)"], {"a": [2]}, id="part-made-at-once"),
    pytest.param(["it = iter([5, 6])", "next(it)", "T = next(it)"], 6, id="next"),
    pytest.param(["def count():\n    n = 0\n    while True:\n        n += 1\n        yield n",
                  "it = count()", "shown = next(it)", "T = next(it)"], 2, id="generator-kept"),
    pytest.param(["T = [{}, {}]", "for r in T: r['t'] = 9"], [{"t": 9}, {"t": 9}],
                 id="part-in-a-loop"),
    pytest.param(["T = {'a': {}}", "for name, r in T.items(): r['t'] = name"], {"a": {"t": "a"}},
                 id="part-in-a-loop-over-pairs"),
    pytest.param(["T = [[]]", "first = T[0]", "first.append(1)"], [[1]], id="second-name"),
    pytest.param(["inner = []", "T = [inner]", "inner.append(1)"], [[1]], id="held-by-the-other"),
    pytest.param(["T = [[]]\ndef fill():\n    t = T\n    t[0].append(1)", "fill()"], [[1]],
                 id="second-name-in-a-function"),
    pytest.param(["import heapq\nT = [3]", "heapq.heappush(T, 1)"], [1, 3], id="heap"),
    pytest.param(["from heapq import heappush\nT = [3]", "heappush(T, 1)"], [1, 3],
                 id="heap-by-name"),
    pytest.param(["def make():\n    rows = []\n    def put(i): rows.append(i)\n"
                  "    def get(): return rows\n    return put, get", "put, get = make()", "put(4)",
                  "T = get()"], [4], id="closures-that-share-a-list"),
    pytest.param(["T = [1]", "class K:\n    T.append(2)"], [1, 2], id="in-a-class-body"),
    pytest.param(["T = [1]", "def g(last=T.pop()): pass"], [], id="in-a-default"),
    pytest.param(["if True:\n    def fill(): T.append(1)", "T = []", "fill()"], [1],
                 id="function-in-a-branch"),
    pytest.param(["match {'a': 1, 'b': 2}:\n    case {'a': 1, **T}: pass"], {"b": 2},
                 id="rest-of-a-mapping"),
    pytest.param(["T = ['a']", "T = [T.upper() for T in T]"], ["A"], id="name-in-its-own-list"),
    pytest.param(["T = [1]", "if (n := len(T)) < 2: T.append(n)"], [1, 1], id="walrus"),
    pytest.param(["async def g(): pass\nT = 1\nawait g()"], 1, id="beside-an-await-that-shows"),
]  # fmt: skip


@pytest.mark.parametrize(("cells", "value"), CHANGES)
def test_what_changes_a_name_is_taken(cells, value):
    assert result([*cells, F]) == value


T = "T = [2, 1]"
SHOWS = [
    "print(T)", "len(T)", "T", "sorted(T)", "shown = sorted(T)", "T.index(9)", "T[9]",
    "assert T == []", "shown = [1 / 0 for one in T]", "for one in T: print(one / 0)",
    "def show(rows): return rows[9]\nshow(T)", "def look(): return T[9]\nlook()",
    "class Look:\n    def __init__(self, rows): self.rows = rows[9]\nLook(T)",
    "class Look:\n    def see(self): return 1 / 0\nlook = Look()\nlook.see()",
    "import json\njson.loads(T)", "def spoil(rows):\n    rows = []\n    return 1 / 0\nspoil(T)",
    "def own():\n    T = []\n    T.append(1)\n    1 / 0\nown()", "lost(T)",
]  # fmt: skip


@pytest.mark.parametrize("line", SHOWS)
def test_what_only_shows_a_name_stays_behind(line):
    alone = stand_alone("f", [T, line, F])
    assert alone.before == T


def test_trials_of_an_answer_that_remembers_results_are_no_part_of_it():
    cells = ["seen = {}\ndef f(x):\n    seen[x] = 1\n    return len(seen)", "f(8)", "print(f(9))",
             "def test(): assert f(1) == 'no'\ntest()"]  # fmt: skip
    assert result(cells) == 1


def test_a_library_s_functions_for_looking_are_not_taken_for_changing_it():
    cells = ["import struct", "struct.unpack('!H', b'')", "def f(x): return struct.calcsize('!H')"]
    assert result(cells) == 2


def test_a_module_is_changed_by_no_list_that_was_made_beside_something_of_it():
    cells = ["import math", "half, rows = math.sqrt(4), []",
             "import never_there\nfor n in range(3): rows.append(n)",
             "def f(x): return math.floor(x)"]  # fmt: skip
    assert stand_alone("f", cells).added == ("math",)
    assert result(cells) == 3
