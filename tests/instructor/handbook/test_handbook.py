"""The handbook: demonstrations print what it says, and nothing in it can drift from the course."""

import re

import pytest

from course_lib.cli import main
from instructor.handbook import unit_page as pages
from instructor.handbook.page_text import HandbookError, page_text
from instructor.handbook.replay import replay
from instructor.handbook.unit_page import SLOWER_BY, TEXTS, all_pages, unit_page
from instructor.release.workbook_files import unit_names

COLUMNS = 80
UNIT = "02-checksums"
TEXT = (TEXTS / f"{UNIT}.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("unit", unit_names())
def test_a_demonstration_prints_what_the_page_says(unit):
    steps = unit_page(unit).steps
    assert len(steps) >= 3
    for played in replay(steps):
        assert played.printed.rstrip() == played.step.output.rstrip()
        lines = [*played.step.code.splitlines(), *played.printed.splitlines()]
        assert max(map(len, lines)) <= COLUMNS, max(lines, key=len)


@pytest.mark.parametrize("unit", unit_names())
def test_a_page_is_whole_and_its_paths_fit_into_the_time(unit):
    page = unit_page(unit)
    assert len(page.say.split()) <= 320  # ten minutes, with a blackboard
    assert len(page.beliefs) >= 8
    assert len({one.exercise for one in page.beliefs}) >= 5
    assert min(len(page.troubles), len(page.questions)) >= 4
    there = page.minutes["exercises"]
    assert 0 < page.slower.minutes * SLOWER_BY <= there
    assert 0 < page.faster.minutes <= there
    assert page.slower.minutes == sum(one.minutes for one in page.exercises if one.slower)
    shown = [one.example for one in page.beliefs if one.example]
    assert all(one.right != one.wrong for one in shown)


WRONG = {
    "a belief that no check names": ("2.1 folds-once", "2.1 folds-never", "is no belief"),
    "a belief of another unit": ("2.1 folds-once", "1.1 low-octet-first", "is no belief"),
    "a question that has changed": ("**fold to 0xFFFF", "**fold to zero", "stands nowhere"),
    "a question too few": ("5. **Would", "**Would", "answers 4 questions"),
    "no exercise of the unit": ("2.1 2.2 2.3 2.5", "2.1 4.2", "names 4.2, which is not there"),
    "no exercises": ("2.1 2.2 2.3 2.5", "All of them", "is no line of exercises"),
    "a heading": ("## Show", "## Demonstrate", "they have to be"),
    "a step that prints nothing": ("```text\n0x2ddf0\n0xddf2\n```\n", "", "a `text` block"),
    "a trouble without what one sees": ("- **`~total` is negative.**", "- Well:", "no item of a"),
}  # fmt: skip


@pytest.mark.parametrize(("old", "new", "said"), WRONG.values(), ids=WRONG)
def test_a_text_that_does_not_fit_the_course_is_refused(old, new, said, tmp_path, monkeypatch):
    assert old in TEXT
    (tmp_path / f"{UNIT}.md").write_text(TEXT.replace(old, new), encoding="utf-8")
    monkeypatch.setattr(pages, "TEXTS", tmp_path)
    with pytest.raises(HandbookError, match=re.escape(said)):
        unit_page(UNIT)


def test_a_step_that_raises_shows_its_last_line():
    steps = page_text(TEXT, "x.md").steps
    (played,) = replay([steps[0]._replace(code="print(1)\nint('a')\n", output="1")])
    assert played.printed.splitlines()[1].startswith("ValueError: invalid literal")
    assert not played.is_as_written


def test_pages_are_written_and_stand_alone_and_a_missing_one_is_said(tmp_path, monkeypatch, capsys):
    (tmp_path / "texts").mkdir()
    (tmp_path / "texts" / f"{UNIT}.md").write_text(TEXT, encoding="utf-8")
    monkeypatch.setattr(pages, "TEXTS", tmp_path / "texts")
    out = tmp_path / "out"
    assert main(["handbook", "--out", str(out)]) == 0
    assert "No text yet" in capsys.readouterr().out
    assert sorted(path.name for path in out.iterdir()) == [f"{UNIT}.html", "handbook.html"]
    whole, page = ((out / name).read_text("utf-8") for name in ("handbook.html", f"{UNIT}.html"))
    assert "Unit 06: the forwarding path" in whole.partition("nobody has written one")[2]
    for text in (whole, page):
        assert not re.search(r"<script|src=|https?:", text)
        assert "the carries are cut off" in text  # from the exercise's own table
        assert "Why does an intact header fold to 0xFFFF" in text  # from the workbook
        assert "hopbyhop handbook 02 --replay" in text
    assert 'href="02-checksums.html"' in whole
    assert "&lt;" in page  # code is shown, not taken for markup


def test_a_replay_says_whether_the_page_is_right(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", str(COLUMNS))
    assert main(["handbook", "02", "--replay"]) == 0
    said = capsys.readouterr().out
    assert "3 steps, as the page says." in said
    assert max(map(len, said.splitlines())) <= COLUMNS
    (tmp_path / f"{UNIT}.md").write_text(TEXT.replace("0xddf2\n```", "0xddf0\n```"))
    monkeypatch.setattr(pages, "TEXTS", tmp_path)
    assert main(["handbook", "02", "--replay"]) == 1
    seen = capsys.readouterr()
    assert "1 not as the page says" in seen.out
    assert "0xddf0" in seen.err
    assert main(["handbook", "77"]) == 1
    assert "UNIT 77: there is no such unit" in capsys.readouterr().err


def test_all_units_have_a_page():
    assert [unit for unit, page in all_pages() if page is None] == []
