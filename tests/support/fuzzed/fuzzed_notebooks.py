"""Let any octets be a workbook that a student hands in, and see that the grader takes them.

The first octet chooses how the rest is read: as the file itself, as the cells of a workbook that is
whole otherwise (so that odd code gets as far as the reader of code), as a student's own saved file,
as the time stamp beside a hand-in, or as an archive. Answers are not run: a stand-in says what came
of it.
"""

import ast
import contextlib
import copy
import functools
import io
import json
import zipfile
from collections.abc import Callable, Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from nbformat import NotebookNode

from course_lib.exercises.answer_source import library_uses, stand_alone
from course_lib.exercises.cells.statements import statements_of
from course_lib.exercises.registry import exercise, public_cases
from course_lib.exercises.verdict import Outcome
from course_lib.my_parts import own_answer, saved_workbooks
from fuzzed.fuzzed_replies import HeldReplies, transcript
from fuzzed.mutations import ODD_PIECES
from fuzzed.time_taken import in_little_time
from hand_ins.hand_in_files import blank, solved
from instructor.grading.examiner import Examiner
from instructor.grading.intake import intake, notebook_reader
from instructor.grading.intake.hand_ins import HandIn, NotGraded
from instructor.grading.marked import MarkedHandIn
from instructor.grading.record import identity
from instructor.grading.similarity.fingerprints import all_hashes, fingerprints
from instructor.release.workbook_files import read_workbook, unit_names
from instructor.units.items import unit_items
from pages.what_people_see import look_at, look_at_workbook

UNIT = "02-checksums"
ANSWER = "answer-2-1"
CODE = (
    "def fold(total):\n    return helper(total)\n\x00def helper(x):\n    return x & MASK\n"
    "\x00MASK = 0xFFFF\nimport math\n",
    "def fold(total):\n    return a0\n\x00" + "\n".join(f"a{n} = a{n + 1}" for n in range(40)),
    "from course_lib import checksum\ndef fold(total):\n    return checksum.checksum(total)\n",
    "%matplotlib inline\n!ls\nfold = lambda total: f'{total!r:>{MASK}}'\n\x00MASK = 0x" + "f" * 40,
    "class Fold:\n    def __call__(self, t: int) -> int:\n        nonlocal_ = [t for _ in (1,)]\n"
    "        return (yield)\n\x00fold = Fold()\n@decorated\nasync def helper(*, a=1, **k): pass\n",
    "def fold(t):\n    match t:\n        case [1, *_] | {'a': b} if b: return 1\n    return t\n",
)
ODD_CODE = (
    "-" * 3000 + "1", "x" + ".x" * 3000, "(" * 150 + ")" * 150, "lambda:" * 200 + "1",
    "A = 0x" + "f" * 5000, "1" * 5000, "f'{f\"{1}\"}'", "x = '''\n\"\"\"'''", "\\\n" * 500, "\f",
    "[" * 90 + "x for x in y" + "]" * 90, "a = " * 400 + "b", "#\ud800", "# coding: utf-7\n+ADw-",
    "global fold", "nonlocal a", "del fold", "from . import *", "\u2028def fold(): pass", "ﬁ = 1",
    "if 1:\n" * 3, "\tx\n        y", "x" * 5000, "'course_lib" + ".a" * 1000 + "'", "=1+1#<b>",
)  # fmt: skip
PIECES = (*ODD_PIECES, *(text.encode("utf-8", "surrogatepass") for text in ODD_CODE))


def check(octets: bytes) -> None:
    """Take octets in as one of the four things that they may be."""
    ways: tuple[Callable[[bytes], object], ...] = (
        _as_file, _as_cells, _as_saved, _as_time_stamp, _as_archive,
    )  # fmt: skip
    with in_little_time(octets):
        ways[octets[0] % len(ways) if octets else 0](octets[1:])


@functools.cache
def seeds() -> tuple[bytes, ...]:
    """Return small workbooks of every kind, cells of code, and time stamps."""
    files = [_small(solved(UNIT)), _small(blank(UNIT)), _lines_as_list(_small(solved(UNIT)))]
    old = {
        "nbformat": 3,
        "nbformat_minor": 0,
        "metadata": {"name": ""},
        "worksheets": [
            {
                "cells": [
                    {"cell_type": "code", "input": "x = 1", "language": "python", "outputs": []}
                ]
            }
        ],
    }
    code = [text.encode() for text in CODE]
    code += [code[0] + b"\x00" + text.encode("utf-8", "surrogatepass") for text in ODD_CODE]
    return (
        *(b"\x00" + json.dumps(one).encode() for one in files),
        *(b"\x01" + one for one in code),
        *(b"\x02" + json.dumps(one).encode() for one in (*files, old)),
        b"\x04" + _zipped({f"{UNIT}.ipynb": _honest()}),
        b"\x04" + _zipped({"../a/x.ipynb": b"{}", f"{UNIT}/{UNIT}.ipynb": _honest(), "b": b""}),
        *(b"\x03" + one for one in (b"2026-11-25 12:00:00.5 UTC", b"25 Nov 2026 9pm", b"", b"1e9")),
    )


def _as_file(octets: bytes, read: Callable[[bytes], Any] = notebook_reader.read_notebook) -> None:
    try:
        notebook = read(octets)
    except notebook_reader.UnreadableNotebookError as problem:
        _look_at_reason(str(problem))
        look_at(MarkedHandIn("alder", UNIT, ()), [NotGraded(Path("a"), str(problem), "alder")])
        return
    for cell in notebook.cells:
        assert type(cell.kind) is type(cell.name) is type(cell.source) is str
        cell.source.encode("utf-8")
    _grade(octets)


def _as_cells(octets: bytes) -> None:
    try:
        answer, *others = octets.decode("utf-8", "surrogatepass").split("\x00")
    except UnicodeDecodeError:
        answer, *others = octets.decode("latin-1").split("\x00")
    cells = [
        {"cell_type": "code", "source": answer, "metadata": {"nbgrader": {"grade_id": ANSWER}}},
        *({"cell_type": "code", "source": one, "metadata": {}} for one in others),
    ]
    about = {"hop_by_hop": {"unit": UNIT, "release": "x"}}
    _as_file(json.dumps({"cells": cells, "metadata": about}).encode())


def _as_saved(octets: bytes) -> None:
    try:
        cells = saved_workbooks._cells(octets)
    except saved_workbooks.NotReadError as problem:
        _look_at_reason(str(problem))
        return
    workbook = saved_workbooks.SavedWorkbook("x.ipynb", "2026-11-25 12:00", cells)
    assert all(type(text) is str for cell in cells for text in cell)
    why = own_answer._why_nothing_defines(exercise("2.1"), workbook)
    assert why


def _as_time_stamp(octets: bytes) -> None:
    folder = f"alder/{UNIT}"
    found = _taken_in({f"{folder}/{UNIT}.ipynb": _honest(), f"{folder}/timestamp.txt": octets})
    (hand_in,) = found.hand_ins
    assert len(hand_in.handed_in) <= 200
    assert len(hand_in.notes) <= 1
    look_at(MarkedHandIn("alder", UNIT, (), hand_in.notes))


def _as_archive(octets: bytes) -> None:
    found = _taken_in({"alder.zip": octets})
    assert len(found.hand_ins) + len(found.not_graded) >= 1
    look_at(MarkedHandIn("alder", UNIT, ()), found.not_graded)


def _taken_in(files: Mapping[str, bytes]) -> intake.Intake:
    with TemporaryDirectory() as name:
        for place, octets in files.items():
            path = Path(name) / place
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(octets)
        return intake.find_hand_ins(Path(name), unit_names())


def _grade(octets: bytes) -> None:
    """Do with a workbook whatever a grader does, but for running it."""
    found = _taken_in({f"alder/{UNIT}/{UNIT}.ipynb": octets})
    if not found.hand_ins:
        assert found.not_graded
        look_at(MarkedHandIn("alder", UNIT, ()), found.not_graded)
        return
    (hand_in,) = found.hand_ins
    examiner = _examiner()
    marked = examiner.examine(hand_in)
    assert {one.verdict.outcome for one in marked.answers} <= set(Outcome)
    _look_at_code(hand_in)
    identity.identities(hand_in, _of_unit())
    look_at(marked)
    look_at_workbook(copy.deepcopy(_released()), hand_in, marked)


def _look_at_code(hand_in: HandIn) -> None:
    code = hand_in.notebook.code
    assert fingerprints(code).keys() <= all_hashes(code)
    names = {name for source in code[:20] for one in statements_of(source) for name in one.may_bind}
    for name in sorted(names)[:20]:
        alone = stand_alone(name, code)
        assert alone is not None
        assert set(alone.added).isdisjoint(alone.missing)
        _parses(alone.whole)
        library_uses(alone.whole)


def _look_at_reason(reason: str) -> None:
    assert len(reason) < 500, "a reason without end"
    assert reason.isprintable(), "a reason with signs that cannot be seen"


def _parses(source: str) -> None:
    """See that definitions which were put together are Python still, as each of them was."""
    with contextlib.suppress(RecursionError, MemoryError):
        ast.parse(source)


@functools.cache
def _released() -> NotebookNode:
    return read_workbook(UNIT)


@functools.cache
def _honest() -> bytes:
    return json.dumps(_small(solved(UNIT))).encode()


def _zipped(files: Mapping[str, bytes]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, octets in files.items():
            archive.writestr(zipfile.ZipInfo(name), octets)
    return packed.getvalue()


@functools.cache
def _examiner() -> Examiner:
    return Examiner(UNIT, "seed", lambda: HeldReplies(transcript([])), _cases())


@functools.cache
def _cases() -> dict[str, Any]:
    return {one.exercise.id: public_cases(one.exercise.id) for one in unit_items(UNIT[:2])}


@functools.cache
def _of_unit() -> Mapping[str, identity.Identity]:
    return identity.unit_identities(UNIT, _cases(), "seed")


def _small(workbook: Any) -> dict[str, Any]:
    """Leave of a workbook the cells that have to do with marks, and one other."""
    data = json.loads(json.dumps(workbook))
    named = [cell for cell in data["cells"] if "nbgrader" in cell["metadata"]]
    return {**data, "cells": [data["cells"][0], *named]}


def _lines_as_list(data: dict[str, Any]) -> dict[str, Any]:
    cells = [{**one, "source": one["source"].splitlines(keepends=True)} for one in data["cells"]]
    return {**data, "cells": cells}
