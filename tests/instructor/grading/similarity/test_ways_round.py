"""Means that can reach the library unseen are named; what honest answers use is not."""

import pytest

from hand_ins.honest_answers import known_answers, written_apart
from instructor.grading.similarity.ways_round import ways_round


@pytest.mark.parametrize(
    ("source", "names"),
    [
        ("import importlib as i\ni.import_module('x')", ("importlib", "i.import_module")),
        ("from importlib import import_module", ("importlib.import_module",)),
        ("m = __import__('x' + 'y')", ("__import__",)),
        ("import sys\nm = sys.modules['x']", ("sys.modules",)),
        ("from sys import modules as m", ("sys.modules",)),
        ("import sys as s\nm = getattr(s, 'mod' + 'ules')", ("getattr(s)",)),
        ("import sys\nm = vars(sys)", ("vars(sys)",)),
        ("import sys\nm = sys.__dict__", ("sys.__dict__",)),
        ("exec('import ' + 'x')", ("exec",)),
        ("x = eval(compile('1', '', 'eval'))", ("eval", "compile")),
        ("g = globals()['__builtins__']", ("__builtins__",)),
        ("import builtins", ("builtins",)),
        ("import runpy, pkgutil, zipimport", ("runpy", "pkgutil", "zipimport")),
        ("from inspect import getsource", ("inspect.getsource",)),
        ("import gc\nx = gc.get_objects()", ("gc",)),
        ("text = open('a').read()", ("open",)),
        ("import io\ntext = io.open('a')", ("io.open",)),
        ("from pathlib import Path\nt = Path('a').read_text()", ("read_text",)),
        ("import sys\nf = sys._getframe().f_back", ("f_back", "sys._getframe")),
        ("f = (lambda: 0).__globals__", ("__globals__",)),
        ("c = object.__subclasses__()", ("object.__subclasses__",)),
        ("import os\nos.popen('python -c 1')", ("os.popen",)),
        ("import subprocess", ("subprocess",)),
    ],
)  # fmt: skip
def test_a_means_is_named(source, names):
    assert set(ways_round(source)) == set(names)


@pytest.mark.parametrize(
    "source",
    [
        "import re\np = re.compile('a')",
        "import sys\nsys.setrecursionlimit(9)",
        "x = getattr(thing, 'value', 0)",
        "evaluate = opened = modules = 1",
        "# open the file, exec, eval",
        "text = 'we open at nine'",
        "from math import floor",
        "def f(: open(",
    ],
)
def test_what_only_looks_like_one_is_not(source):
    assert ways_round(source) == ()


@pytest.mark.parametrize("answers", [known_answers, written_apart])
def test_no_honest_answer_uses_one(answers):
    assert [one for one in answers() if ways_round(one.source)] == []
