"""A student's side: own numbers are shown, asked by `mark`, and said to be whose they are."""

import pytest

from course_lib.exercises import mark, my_numbers, progress
from course_lib.exercises.calls import call_text
from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import exercise, public_cases
from instructor.units.items import item, source_of

pytestmark = pytest.mark.usefixtures("started_by_a_fork")

CODE = "KQ7W-DX3M-2AD"
RIGHT = source_of(item("3.6").answer, "make_plan")
KNOWN = {repr(case.arguments): case.expected.value for case in public_cases("3.6")}
LOOKED_UP = f"KNOWN = {KNOWN!r}\ndef make_plan(*given):\n    return KNOWN[repr(given)]\n"
CALLS = [call_text(exercise("3.6"), case.arguments) for case in own_cases("3.6", CODE)]


@pytest.fixture(autouse=True)
def in_an_empty_folder(tmp_path, monkeypatch):
    (tmp_path / progress.BUNDLE_MARK).touch()
    monkeypatch.chdir(tmp_path)


def mark_after(*cells):
    """Call `mark` as the cell below these would."""
    names = {"In": ["", *cells], "mark": mark}
    exec("points = mark('3.6')", names)
    return names["points"]


@pytest.mark.parametrize(("typed", "said"), [
    (CODE, f"The numbers of code {CODE}."),
    ("kq7w dx3m 2ad", f"The numbers of code {CODE}."),
    ("", "The numbers for everybody: there is no code in my_code."),
    ("KQ7W-DX3M-2AA", "my_code holds no code: in 'KQ7W-DX3M-2AA' one letter is wrong"),
])  # fmt: skip
def test_a_right_plan_earns_all_points_and_it_is_said_whose_numbers_there_were(typed, said, capsys):
    assert mark_after(RIGHT, f"my_code = {typed!r}") == exercise("3.6").points
    assert said in capsys.readouterr().out


@pytest.mark.parametrize("code", [CODE, ""])
def test_whoever_knows_the_public_cases_by_heart_meets_their_own(code, capsys):
    assert mark_after(LOOKED_UP, f"my_code = {code!r}") == 0
    own = call_text(exercise("3.6"), own_cases("3.6", code)[0].arguments)
    assert own in capsys.readouterr().out


def test_the_calls_are_shown_and_no_result(capsys):
    my_numbers("3.6", CODE.lower())
    said = capsys.readouterr().out
    assert f"The numbers of code {CODE}." in said
    for case, call in zip(own_cases("3.6", CODE), CALLS, strict=True):
        assert call in said
        for _, prefix in case.expected.value[0]:
            assert prefix not in said
        assert "no hole" not in said


@pytest.mark.parametrize("typed", ["", "KQ7W", None, 5])
def test_without_a_code_those_for_everybody_are_shown_and_it_is_said(typed, capsys):
    my_numbers("3.6", typed)
    said = capsys.readouterr().out
    assert "he numbers for everybody" in said
    assert call_text(exercise("3.6"), own_cases("3.6")[0].arguments) in said


def test_an_exercise_without_own_numbers_says_nothing_of_them(capsys):
    names = {"In": ["", source_of(item("3.5").answer), f"my_code = '{CODE}'"], "mark": mark}
    exec("points = mark('3.5')", names)
    assert names["points"] == exercise("3.5").points
    assert "numbers" not in capsys.readouterr().out
