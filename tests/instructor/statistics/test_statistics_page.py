"""The statistics' page: no names on it, nothing runs, and it reads well for classes of any size."""

import csv

import pytest

from classes.simulated_class import Planted, simulated_class
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
        assert "1.3 Flags and fragment offset: looks broken" in page.words
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
