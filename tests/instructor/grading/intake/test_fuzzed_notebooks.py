"""Whatever is handed in or saved as a workbook is one, or is refused in one line."""

import json
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.exercises.answer_source import stand_alone
from course_lib.my_parts.saved_workbooks import NotReadError, _cells
from fuzzed.fuzzed_notebooks import ANSWER, CODE, PIECES, UNIT, check, seeds
from fuzzed.mutations import LONG, ODD_TEXTS, ODD_VALUES, mutated
from instructor.grading.intake.notebook_reader import (
    LABEL_LENGTH,
    MOST_CELLS,
    MOST_CODE,
    MOST_VALUES,
    UnreadableNotebookError,
    read_notebook,
)

fuzzing = settings(max_examples=50, deadline=None, derandomize=True, database=None)
WORDS = ["cells", "metadata", "source", "nbgrader", "grade_id", "cell_type", "hop_by_hop", "unit",
         "release", "code", ANSWER, UNIT, "nbformat", "nbformat_minor", "worksheets"]  # fmt: skip
JSON = st.recursive(
    st.none() | st.sampled_from(WORDS) | st.sampled_from(ODD_TEXTS) | st.sampled_from(ODD_VALUES)
    | st.integers(0, 5),
    lambda inner: st.lists(inner, max_size=4)
    | st.dictionaries(st.sampled_from(WORDS), inner, max_size=4),
    max_leaves=30,
)  # fmt: skip


@fuzzing
@given(st.sampled_from(seeds()), st.integers(0, 1 << 64))
def test_workbooks_that_were_tampered_with_are_taken_in(seed, chance):
    check(mutated(seed, Random(chance), seeds(), PIECES))


@fuzzing
@given(st.sampled_from([b"\x00", b"\x02"]), JSON)
def test_any_json_is_taken_in(way, data):
    check(way + json.dumps(data).encode())


@fuzzing
@given(st.sampled_from(CODE), st.lists(st.sampled_from(PIECES), min_size=1, max_size=3),
       st.integers(0, 100))  # fmt: skip
def test_any_code_is_taken_in(code, pieces, percent):
    octets = code.encode()
    cut = len(octets) * percent // 100
    check(b"\x01" + octets[:cut] + b"".join(pieces) + octets[cut:])


def answered(source: object, **more: object) -> bytes:
    about = {"grade_id": ANSWER, **more}
    cell = {"cell_type": "code", "source": source, "metadata": {"nbgrader": about}}
    return json.dumps({"cells": [cell], "metadata": {"hop_by_hop": {"unit": UNIT}}}).encode()


def with_label(**label: object) -> bytes:
    return json.dumps({"cells": [], "metadata": {"hop_by_hop": label}}).encode()


CHAIN = "\n".join(f"a{n} = a{n + 1}" for n in range(2000))
NAMES = "\n".join(f"a{n}" for n in range(3000))
FOUND = (  # once raised in the grader, hung it, or filled its memory, pages or tables
    pytest.param(b"\x00" + answered("# \ud800\ndef fold(t): return t"), id="half-a-character"),
    pytest.param(b"\x00" + with_label(unit=UNIT, release="x" * 900_000), id="a-long-release"),
    pytest.param(b"\x00" + with_label(unit="x" * 900_000), id="a-long-unit"),
    pytest.param(b"\x01fold = A\n\x00A = 0x" + b"f" * LONG, id="a-number-without-decimals"),
    pytest.param(b"\x01fold = a0\n\x00" + CHAIN.encode(), id="a-chain-of-definitions"),
    pytest.param(b"\x01" + NAMES.encode() + b"\x00b = 1" * 3000, id="many-names-in-many-cells"),
    pytest.param(b"\x01" + b"".join(b"a%d = " % n for n in range(3000)) + b"b\x00"
                 + b"".join(b"b%d = " % n for n in range(3000)) + b"b", id="one-long-assignment"),
    pytest.param(b"\x01import course_lib." + b"a" * 50_000, id="a-long-name"),
    pytest.param(b"\x01" + b"".join(b"import course_lib.a%d\n" % n for n in range(3000)),
                 id="many-imports"),
    pytest.param(b"\x02" + b"[" * 60_000, id="saved-and-nested-deep"),
    pytest.param(b'\x02{"nbformat": 1, "cells": [{"cell_type": "x"}]}', id="saved-in-old-format"),
)  # fmt: skip


@pytest.mark.parametrize("octets", FOUND)
def test_what_was_found_is_taken_in(octets):
    check(octets)


@pytest.mark.parametrize("depth", range(900, 1000, 2))
def test_lines_nested_just_as_deep_as_can_be_read_are_no_lines(depth):
    deep = "[" * depth + "]" * depth
    octets = f'{{"cells": [{{"cell_type": "code", "source": ["x", {deep}]}}]}}'.encode()
    try:
        assert read_notebook(octets).code == ("x",)
    except UnreadableNotebookError as problem:
        assert str(problem).startswith("not JSON")  # noqa: PT017 - both ways out are fine


@pytest.mark.parametrize(
    ("octets", "words"),
    [
        (b'{"cells": [' + b"{}," * (MOST_VALUES + 1) + b"{}]}", "values"),
        (b'{"cells": [' + b"{}," * MOST_CELLS + b"{}]}", "cells"),
        (answered("x" * (MOST_CODE + 1)), "characters of code"),
    ],
    ids=["values", "cells", "code"],
)
def test_what_would_fill_the_memory_is_refused_in_one_line(octets, words):
    with pytest.raises(UnreadableNotebookError, match=f"more than [0-9,]+ {words}"):
        read_notebook(octets)


def test_commas_in_texts_are_no_values():
    outputs = [{"output_type": "stream", "text": ', "\\' * MOST_VALUES}]
    cell = {"cell_type": "code", "source": "print(1)", "metadata": {}, "outputs": outputs}
    assert read_notebook(json.dumps({"cells": [cell]}).encode()).code == ("print(1)",)


def test_half_a_character_is_written_as_python_would_escape_it():
    (cell,) = read_notebook(answered("x = '\ud800'")).cells
    assert cell.source == r"x = '\ud800'"


def test_labels_are_cut():
    notebook = read_notebook(with_label(unit="u" * 900, release="r" * 900))
    assert (len(notebook.unit), len(notebook.release)) == (LABEL_LENGTH, LABEL_LENGTH)


def test_a_chain_of_definitions_is_put_together_in_order():
    alone = stand_alone("f", [CHAIN, "a2000 = 7", "def f():\n    return a0\n"])
    assert alone is not None
    space: dict[str, object] = {}
    exec(alone.before, space)
    assert (space["a0"], len(alone.added)) == (7, 2001)


@pytest.mark.parametrize("grade_id", [5, [1], {"a": 1}])
def test_a_saved_cell_with_a_name_that_is_none_is_no_workbook(grade_id):
    data = json.loads(answered("x = 1", grade_id=grade_id))
    octets = json.dumps({**data, "nbformat": 4, "nbformat_minor": 4}).encode()
    with pytest.raises(NotReadError, match="it is not a workbook"):
        _cells(octets)
