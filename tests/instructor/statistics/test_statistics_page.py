"""The statistics' page: no names on it, nothing runs, and it reads well for classes of any size."""

import csv

import pytest

from classes.simulated_class import Planted, simulated_class
from course_lib.exercises.progress import Entry
from instructor.statistics.statistics_page import write_statistics

PLANTED = {
    "1.1": Planted(hard=-2.0),
    "1.3": Planted(apart=-1.5),
    "1.5": Planted(hard=1.5, belief="length-counts-data-only", shared=0.5, alike=0.25),
    "1.6": Planted(),
}


@pytest.mark.parametrize("size", [0, 4, 120])
def test_the_page_is_whole_without_a_script_and_without_a_name(pages, tmp_path, size):
    result = simulated_class(size, PLANTED)
    path = write_statistics(tmp_path, result)
    page = pages.PageReader(path.read_text(encoding="utf-8"))
    assert page.badly_nested == []
    assert page.dangling() == []
    assert page.dangers() == []
    texts = [one.read_text(encoding="utf-8") for one in tmp_path.iterdir()]
    names = {hand_in.student for hand_in in result.marked}
    assert len(names) == size
    assert [name for name in names if any(name in text for text in texts)] == []
    if size < 5:
        assert "Nothing can be said yet" in page.words
    else:
        _, _, broken = page.words.partition("Looks broken Who does well elsewhere does worse here")
        assert "1.3 Flags and fragment offset · share of points" in broken
        assert "Candidate: 1.5" in page.words
        assert "def answer(data):" in page.text
        assert "the length is taken to count the data alone" in page.words.lower()


def test_the_tables_say_the_same(tmp_path):
    write_statistics(tmp_path, simulated_class(120, PLANTED))
    with (tmp_path / "statistics.csv").open(encoding="utf-8", newline="") as stream:
        rows = {row["exercise"]: row for row in csv.DictReader(stream)}
    assert rows["1.3"]["judgement"] == "looks broken"
    assert float(rows["1.3"]["unit_rest_high"]) < 0
    assert float(rows["1.1"]["difficulty"]) > 0.7 > float(rows["1.5"]["difficulty"])
    with (tmp_path / "units.csv").open(encoding="utf-8", newline="") as stream:
        (course,) = csv.DictReader(stream)
    assert (course["unit"], course["students"], course["exercises"]) == ("", "120", "4")
    with (tmp_path / "unnamed.csv").open(encoding="utf-8", newline="") as stream:
        (group,) = csv.DictReader(stream)
    assert group["example"].startswith("def answer(data):")


@pytest.mark.parametrize("people", [4, 5])
def test_attempts_and_time_are_told_of_five_who_handed_their_progress_over(pages, tmp_path, people):
    """Of five who tried an exercise 1, 2, ... times the middle is 3; one of them told no time."""
    everybody = [
        {"1.1": Entry(2.0, "right", n, minutes=10 * n), "1.2": Entry(2.0, "right", n,
                                                                    minutes=n and 5 * (n - 1))}
        for n in range(1, people + 1)
    ]  # fmt: skip
    page = write_statistics(tmp_path, simulated_class(30, PLANTED), progress=everybody)
    words = pages.PageReader(page.read_text(encoding="utf-8")).words
    with (tmp_path / "attempts.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    if people < 5:
        assert rows == []
        assert "hopbyhop grade --explain progress" in words
        return
    one, other = rows
    assert [one[name] for name in ("exercise", "told_minutes", "attempts_people")] == [
        "1.1", "6", "5"
    ]  # fmt: skip
    assert [one[f"{what}{end}"] for what in ("attempts", "minutes") for end in ("", "_low", "_high")
            ] == ["3", "2", "4", "30", "20", "40"]  # fmt: skip
    assert (other["attempts_people"], other["minutes_people"], other["minutes"]) == ("5", "", "")
    assert "30 (20 to 40)" in words
