"""Every file becomes a hand-in or a line that says why not."""

import os

import pytest

from hand_ins.hand_in_files import OTHER_UNIT, UNIT, blank, hand_in
from instructor.grading.intake.intake import find_hand_ins

UNITS = (UNIT, OTHER_UNIT)


def flat(folder, name, workbook):
    import json

    path = folder / name
    path.write_text(workbook if isinstance(workbook, str) else json.dumps(workbook))
    return path


def found(folder, roster=()):
    intake = find_hand_ins(folder, UNITS, roster)
    return [(one.student, one.unit) for one in intake.hand_ins]


def refusals(folder, roster=()):
    return [one.why for one in find_hand_ins(folder, UNITS, roster).not_graded]


def test_the_gradebook_s_layout_is_read(tmp_path):
    hand_in(tmp_path, "alder", blank())
    hand_in(tmp_path, "bracken", blank(OTHER_UNIT), OTHER_UNIT)
    assert found(tmp_path) == [("alder", UNIT), ("bracken", OTHER_UNIT)]


@pytest.mark.parametrize(
    "name",
    [
        f"alder_{UNIT}.ipynb",
        f"alder_{UNIT} (1).ipynb",
        "alder_my homework final.ipynb",
        f"alder_12345_678_{UNIT}.ipynb",
    ],
)
def test_a_flat_folder_of_files_is_read_by_the_unit_inside(tmp_path, name):
    flat(tmp_path, name, blank())
    assert found(tmp_path) == [("alder", UNIT)]


def test_a_roster_finds_ids_anywhere_in_a_name(tmp_path):
    flat(tmp_path, f"late_2031_alder_{UNIT}.ipynb", blank())
    assert found(tmp_path, ["alder", "bracken"]) == [("alder", UNIT)]


def test_two_of_one_time_that_differ_are_a_question_for_a_person(tmp_path):
    one = flat(tmp_path, "alder_first.ipynb", blank())
    other = flat(tmp_path, "alder_second.ipynb", {**blank(), "cells": blank().cells[1:]})
    for path in (one, other):
        os.utime(path, (1, 1))
    (line,) = refusals(tmp_path)
    assert line.startswith("as new as alder_first.ipynb, and not the same: which one counts?")
    assert found(tmp_path) == []


def test_two_of_one_time_that_are_the_same_are_no_question(tmp_path):
    for name in ("alder_first.ipynb", "alder_second.ipynb"):
        os.utime(flat(tmp_path, name, blank()), (1, 1))
    assert (found(tmp_path), refusals(tmp_path)) == ([("alder", UNIT)], [])


def test_a_name_with_two_ids_of_the_roster_is_for_a_person(tmp_path):
    flat(tmp_path, f"alder_bracken_{UNIT}.ipynb", blank())
    assert refusals(tmp_path, ["alder", "bracken"]) == ["no student's id in the file's name"]


@pytest.mark.parametrize(
    ("name", "content", "why"),
    [
        ("alder_x.ipynb", "", "empty"),
        ("alder_x.ipynb", "{not json", "not JSON"),
        ("homework.ipynb", blank(), "no student's id"),
        ("alder_x.ipynb", '{"cells": []}', "no workbook of this course"),
        ("alder_x.pdf", "%PDF", "a PDF page, not a workbook"),
    ],
)
def test_a_file_that_cannot_be_graded_gets_its_reason(tmp_path, name, content, why):
    flat(tmp_path, name, content)
    (reason,) = refusals(tmp_path)
    assert why in reason


def test_broken_files_stop_nobody_else(tmp_path):
    hand_in(tmp_path, "alder", "")
    hand_in(tmp_path, "bracken", blank())
    assert found(tmp_path) == [("bracken", UNIT)]
    assert len(refusals(tmp_path)) == 1


def test_links_are_not_followed(tmp_path):
    outside = flat(tmp_path, "secret.ipynb", blank())
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / f"alder_{UNIT}.ipynb").symlink_to(outside)
    assert refusals(folder) == ["a link, not a file: what it leads to is needed"]


def test_the_newest_of_several_files_counts_and_names_the_others(tmp_path):
    older = flat(tmp_path, "alder_first.ipynb", blank())
    newer = flat(tmp_path, "alder_second.ipynb", blank())
    os.utime(older, (1, 1))
    os.utime(newer, (2, 2))
    (one,) = find_hand_ins(tmp_path, UNITS).hand_ins
    assert one.path == newer
    assert "alder_first.ipynb" in " ".join(one.notes)


def test_a_renamed_file_is_noted_and_read(tmp_path):
    flat(tmp_path, "alder_final version.ipynb", blank())
    (one,) = find_hand_ins(tmp_path, UNITS).hand_ins
    assert any("renamed" in note for note in one.notes)


def test_time_stamps_and_hidden_files_are_passed_over(tmp_path):
    hand_in(tmp_path, "alder", blank())
    (tmp_path / "alder" / UNIT / "timestamp.txt").write_text("2026-01-01 00:00:00 UTC")
    (tmp_path / "alder" / UNIT / "progress.json").write_text("{}")
    hidden = tmp_path / ".ipynb_checkpoints"
    hidden.mkdir()
    flat(hidden, "alder_x.ipynb", blank())
    intake = find_hand_ins(tmp_path, UNITS)
    assert (len(intake.hand_ins), intake.not_graded) == (1, ())


def test_a_folder_that_does_not_exist_is_named(tmp_path):
    with pytest.raises(FileNotFoundError, match="no folder"):
        find_hand_ins(tmp_path / "nowhere", UNITS)
