"""The students' bundle is searched, archives and all: no answer, no secret case, no seed."""

import ast
import functools
import io
import json
import re
import zipfile

import nbformat
import numpy as np
import pytest

from course_lib.exercises.registry import UNITS
from course_lib.runner.plain_data import encode
from instructor.handbook.unit_page import TEXTS
from instructor.release import bundle
from instructor.release.make import make_release
from instructor.release.workbook_files import ROOT, read_workbook, unit_names
from instructor.units.items import all_items, secret_questions

SEED = "the secret seed of this class"


@pytest.fixture(scope="module")
def release(tmp_path_factory):
    return make_release(tmp_path_factory.mktemp("release"), seed=SEED)


@pytest.fixture(scope="module")
def files(release):
    """Return every file of the bundle by name, those inside archives too, as text."""
    found = {}

    def look_into(name, octets):
        if zipfile.is_zipfile(io.BytesIO(octets)):
            with zipfile.ZipFile(io.BytesIO(octets)) as archive:
                for inner in archive.namelist():
                    look_into(f"{name}!{inner}", archive.read(inner))
        else:
            found[name] = octets.decode("utf-8", "replace")

    look_into(release.bundle.name, release.bundle.read_bytes())
    return found


WINDOW = 8  # octets, seen as one number


def windows(octets):
    """Return every run of eight octets as a number."""
    runs = np.lib.stride_tricks.sliding_window_view(np.frombuffer(octets, np.uint8), WINDOW)
    return runs.copy().view(np.uint64)[:, 0]


@pytest.fixture(scope="module")
def whole(files):
    """Return a function that tells whether a piece stands anywhere in the bundle's text.

    Most have some eight octets in a row that stand nowhere, which is found out at once.
    """
    octets = "\0".join(files.values()).encode()
    known = np.unique(windows(octets))

    @functools.cache
    def stands(piece):
        mine = windows(piece.encode())
        nearest = known[np.minimum(np.searchsorted(known, mine), len(known) - 1)]
        return bool((nearest == mine).all()) and piece.encode() in octets

    return stands


# Heads of loops over a whole name, names of types, and fields or empty lists with their types.
TELLS_NOTHING = re.compile(
    r"""for\ [\w,\ ]+\ in\ (\w+|range\(\w+\)):
    |\w+\ =\ (dict|list|tuple)\[.*\]
    |\w+:\ [\w\[\],|\ ]+(\ =\ \[\])?
    |self\.(?P<name>\w+)\ =\ (?P=name)""",
    re.VERBOSE,
)


def telling_lines(source):
    """Return lines of code long enough to be recognised."""
    lines = [line.strip() for line in source.splitlines()]
    return [
        line
        for line in lines
        if len(line) >= 24
        and not line.startswith(("#", '"""', "def ", "import ", "from "))
        and not TELLS_NOTHING.fullmatch(line)
    ]


def code_of(source):
    """Return source without its docstrings and imports, which may stand in a workbook."""
    tree = ast.parse(source)
    for node in ast.walk(tree):
        if isinstance(node, WITH_DOCSTRINGS) and ast.get_docstring(node):
            node.body = node.body[1:] or [ast.Pass()]
    return ast.unparse(tree)


WITH_DOCSTRINGS = ast.Module | ast.ClassDef | ast.FunctionDef
ITEMS = [pytest.param(one, id=one.exercise.id) for one in all_items()]


def test_the_bundle_holds_what_a_student_needs(files, release):
    names = "\n".join(files)
    assert "START.html" in names
    assert "course_lib/exercises/marking.py" in names
    assert "course_lib/exercises/wording/unit_01.toml" in names
    for unit in unit_names():
        assert f"workbooks/{unit}/{unit}.ipynb" in names
        assert f"cases/unit_{unit[:2]}.json" in names


def test_nothing_of_the_instructor_s_is_in_it(files):
    assert not [name for name in files if "instructor/" in name or "tests/" in name]


@pytest.mark.parametrize("unit", UNITS)
def test_no_line_of_an_answer_or_a_wrong_variant_is_in_it(files, whole, unit):
    """Nor of anything else that only the staff has about a unit: its questions, its clauses."""
    modules = sorted((ROOT / "instructor" / "units" / f"unit_{unit}").rglob("*.py"))
    assert "answers.py" in {module.name for module in modules}
    for module in modules:
        lines = telling_lines(code_of(module.read_text(encoding="utf-8")))
        lines = [line for line in lines if whole(line)]
        found = [(name, line) for name, text in files.items() for line in lines if line in text]
        assert (module.name, found) == (module.name, [])


def test_each_line_that_is_in_it_is_found(files, whole):
    """Or none would be: a module that students have is there, and nothing that nobody has."""
    (text,) = (text for name, text in files.items() if name.endswith("course_lib/checksum.py"))
    assert [line for line in telling_lines(text) if not whole(line)] == []
    assert len(telling_lines(text)) > 10
    assert not whole(telling_lines(text)[0][::-1])


@pytest.mark.parametrize("one", ITEMS)
def test_no_secret_case_is_in_it(files, whole, one):
    secret = [
        [encode(argument) for argument in question.arguments]
        for question in secret_questions(one, SEED)
    ]
    name = next(name for name in files if name.endswith(f"cases/unit_{one.exercise.unit[:2]}.json"))
    shipped = [case["arguments"] for case in json.loads(files[name])[one.exercise.id]]
    assert [arguments for arguments in secret if arguments in shipped] == []
    octets = [
        argument["octets"]
        for arguments in secret
        for argument in arguments
        if isinstance(argument, dict) and len(argument.get("octets", "")) >= 24
        if argument["octets"].strip("0")  # zeros alone are part of many other octets
        if whole(argument["octets"])
    ]
    assert [name for name, text in files.items() for piece in octets if piece in text] == []


def test_the_seed_is_not_in_it(files):
    assert not [name for name, text in files.items() if SEED in text]


def test_workbooks_are_handed_out_as_they_are_kept(release):
    """Except for the name of the release and the checksums that the gradebook's tool adds."""
    for unit in unit_names():
        path = release.course / "release" / unit / f"{unit}.ipynb"
        handed_out = nbformat.read(path, as_version=4)
        kept = read_workbook(unit)
        assert [cell.source for cell in handed_out.cells] == [cell.source for cell in kept.cells]
        assert [cell.cell_type for cell in handed_out.cells] == [c.cell_type for c in kept.cells]


def test_the_same_release_gives_the_same_archive(tmp_path, monkeypatch):
    monkeypatch.setattr(bundle, "build_wheel", bundle.build_wheel.__wrapped__)  # both anew
    one, again = (make_release(tmp_path / name, unit_names()[:2], SEED) for name in ("a", "b"))
    assert again.bundle.read_bytes() == one.bundle.read_bytes()


def test_no_page_of_the_handbook_is_in_it(whole):
    for unit in unit_names():
        text = (TEXTS / f"{unit}.md").read_text(encoding="utf-8")
        said = [line for line in text.splitlines() if re.match(r"\d\. |- ", line)]
        assert len(said) > 20
        assert [line for line in said if whole(line)] == []
