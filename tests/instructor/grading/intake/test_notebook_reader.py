"""Answers are found in workbooks in any state, and nothing else is believed."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.exercises.registry import exercise
from hand_ins.hand_in_files import blank, doubled, solved, with_cell_after, without
from instructor.grading.intake.notebook_reader import (
    Notebook,
    UnreadableNotebookError,
    find_answer,
    is_cell_edited,
    read_notebook,
)
from instructor.release.workbook_files import grade_name

FIRST = exercise("1.1")
STUB = next(cell.source for cell in blank().cells if grade_name(cell) == "answer-1-1")
MINE = "def read_word(data, offset):\n    return 7\n"


def read(workbook) -> Notebook:
    return read_notebook(json.dumps(workbook).encode())


def found(workbook):
    answer = find_answer(read(workbook), FIRST, STUB)
    return answer.state, answer.source


@pytest.mark.parametrize(
    ("octets", "words"),
    [
        pytest.param(b"", "empty", id="empty"),
        pytest.param(b" \n ", "empty", id="white-space"),
        pytest.param(b'{"cells": [', "not JSON", id="cut-off"),
        pytest.param(b"PK\x03\x04\xff\xfe", "an archive", id="archive"),
        pytest.param(b"[]", "no list of cells", id="list"),
        pytest.param(b'{"cells": 5}', "no list of cells", id="no-cells"),
        pytest.param(b"[" * 100_000, "not JSON", id="deep"),
        pytest.param(b"\xff\xfe{}", "not UTF-8", id="other-encoding"),
    ],
)
def test_what_is_no_workbook_is_refused_in_one_line(octets, words):
    with pytest.raises(UnreadableNotebookError, match=words) as caught:
        read_notebook(octets)
    assert "\n" not in str(caught.value)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(),
    lambda inner: st.lists(inner) | st.dictionaries(
        st.sampled_from(["cells", "metadata", "source", "nbgrader", "grade_id", "cell_type",
                         "hop_by_hop", "unit"]), inner),
    max_leaves=30,
)  # fmt: skip


@given(JSON)
def test_any_json_is_a_notebook_or_refused(data):
    try:
        notebook = read_notebook(json.dumps(data).encode())
    except UnreadableNotebookError:
        return
    assert find_answer(notebook, FIRST, STUB).state in ("no answer", "damaged", "found")


@given(st.binary(max_size=200))
def test_any_octets_are_a_notebook_or_refused(octets):
    try:
        read_notebook(octets)
    except UnreadableNotebookError as problem:
        assert "\n" not in str(problem)  # noqa: PT017 - both ways out are fine


@pytest.mark.parametrize(
    ("workbook", "state", "source"),
    [
        pytest.param(blank(), "no answer", "", id="as-handed-out"),
        pytest.param(solved(answer_1_1=MINE), "found", MINE, id="answered"),
        pytest.param(solved(answer_1_1=STUB + "\n\n"), "no answer", "", id="only-white-space"),
        pytest.param(solved(answer_1_1=""), "no answer", "", id="emptied"),
        pytest.param(without(blank(), "answer-1-1"), "damaged", "", id="cell-missing"),
        pytest.param(
            with_cell_after(without(blank(), "answer-1-1"), "mark-1-1", MINE), "found", MINE,
            id="pasted-into-another-cell",
        ),
        pytest.param(
            with_cell_after(blank(), "answer-1-1", MINE), "found", MINE,
            id="written-below-the-stub",
        ),
        pytest.param(
            doubled(solved(answer_1_1=MINE), "answer-1-1", MINE), "found", MINE,
            id="copied-unchanged",
        ),
        pytest.param(
            doubled(solved(answer_1_1=MINE), "answer-1-1", STUB), "found", MINE,
            id="copied-stub",
        ),
        pytest.param(
            doubled(solved(answer_1_1=MINE), "answer-1-1", "x = 1"), "found", MINE,
            id="its-name-on-another-cell",
        ),
        pytest.param(
            with_cell_after(solved(answer_1_1="# below"), "answer-1-1", MINE), "found", MINE,
            id="a-comment-and-then-the-answer",
        ),
        pytest.param(
            doubled(solved(answer_1_1=MINE), "answer-1-1", MINE + "#"), "could not tell", "",
            id="two-versions",
        ),
        pytest.param(
            with_cell_after(with_cell_after(blank(), "mark-1-1", MINE), "mark-1-1", MINE + "#"),
            "found", MINE + "#", id="two-versions-elsewhere",
        ),
    ],
)  # fmt: skip
def test_an_answer_is_found_or_a_person_decides(workbook, state, source):
    assert found(workbook) == (state, source)


def test_lines_as_a_list_are_joined():
    workbook = json.loads(json.dumps(solved(answer_1_1=MINE)))
    for cell in workbook["cells"]:
        cell["source"] = cell["source"].splitlines(keepends=True)
    assert found(workbook) == ("found", MINE)


@pytest.mark.parametrize(
    ("source", "edited"), [("999.0", True), ('mark("1.1")', False), ('mark("1.1")  \n', False)]
)
def test_an_edited_check_cell_is_seen(source, edited):
    workbook = blank()
    for cell in workbook.cells:
        if grade_name(cell) == "mark-1-1":
            cell.source = source
    assert is_cell_edited(read(workbook), "mark-1-1", 'mark("1.1")') is edited


def test_a_missing_check_cell_counts_as_edited():
    assert is_cell_edited(read(without(blank(), "mark-1-1")), "mark-1-1", 'mark("1.1")')
