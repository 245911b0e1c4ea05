"""Two classes: what was planted as better or worse comes out, and chance is called chance."""

import csv
import re
import zipfile

import pytest

from classes.graded_class import copy_of
from classes.simulated_class import Planted, simulated_class, students
from course_lib.cli import main
from instructor.output.tables import write_table
from instructor.reporting.report_pages import write_report
from instructor.statistics.statistics_page import write_statistics

SAME = {name: Planted() for name in ("1.1", "1.2", "1.3", "1.4", "1.6", "2.1", "2.2", "2.3")}
BELIEF = "length-counts-data-only"
LAST = SAME | {"1.5": Planted(belief=BELIEF, shared=0.8)}
THIS = SAME | {
    "1.5": Planted(belief=BELIEF, shared=0.1),
    "1.3": Planted(hard=2.0),
    "2.2": Planted(apart=-1.5),
}


def graded(folder, size, planted, seed):
    report = folder / "results" / "report"
    result = simulated_class(size, planted, seed=seed)
    write_report(report, result)
    write_statistics(report, result)
    return folder


def table(course, name):
    path = course / "results" / "report" / f"{name}.csv"
    with path.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def test_what_was_planted_comes_out_with_intervals_and_without_a_name(pages, tmp_path, capsys):
    last, this = graded(tmp_path / "a", 120, LAST, 1), graded(tmp_path / "b", 120, THIS, 2)
    assert main(["compare", str(last), str(this)]) == 0
    sure = {(row["name"], row["better"]) for row in table(this, "compare") if row["sure"] == "yes"}
    assert sure == {(f"1.5 {BELIEF}", "yes"), ("1.3", "no")}
    for row in table(this, "compare"):
        assert float(row["by_low"]) <= float(row["by"]) <= float(row["by_high"])
    findings = table(this, "to-change")
    strengths = [float(row["strength"]) for row in findings]
    assert strengths == sorted(strengths, reverse=True)
    # The broken one stands first: all of its interval lies below 0, and so far from 0.2.
    assert findings[0]["what"].startswith("2.2 ")
    assert any(row["what"].startswith("1.3 ") for row in findings)
    text = (this / "results" / "report" / "compare.html").read_text(encoding="utf-8")
    page = pages.PageReader(text)
    assert (page.badly_nested, page.dangers(), page.dangling()) == ([], [], [])
    assert not [one for one in students(120) if re.search(rf"\b{one}\b", text)]
    said = " ".join(capsys.readouterr().out.split())
    assert "1 surely got better and 1 surely got worse" in said
    assert "Next: read" in said


def test_a_class_that_was_forgotten_is_compared_a_year_later(bare_course, tmp_path, capsys):
    """By the figures that it left, and by those in the archive: with the same outcome."""
    last = graded(copy_of(bare_course, tmp_path), 120, LAST, 1)
    this = graded(tmp_path / "b", 120, THIS, 2)
    write_table(last / "results" / "scores.csv", ("student",), [(one,) for one in students(120)])
    outcomes = []
    for place in (last, tmp_path / "unpacked"):
        assert main(["compare", str(place), str(this)]) == 0
        outcomes.append(
            {row["name"]: row for row in table(this, "compare") if row["sure"] == "yes"}
        )
        kept = tmp_path / "kept.zip"
        if place == last:
            assert main(["forget", str(last), "--all", "--yes", "--keep", str(kept)]) == 0
            assert list((last / "results" / "report").iterdir()) == []
            with zipfile.ZipFile(kept) as archive:
                archive.extractall(tmp_path / "unpacked")
    assert main(["compare", str(last), str(this)]) == 0
    outcomes.append({row["name"]: row for row in table(this, "compare") if row["sure"] == "yes"})
    assert outcomes[0].keys() == {f"1.5 {BELIEF}", "1.3"}
    for name, row in outcomes[0].items():
        for column in ("last", "this", "by_low", "by_high"):
            assert [one[name][column] for one in outcomes] == [row[column]] * 3
    figures = list((last / "figures").iterdir())
    assert {path.name for path in figures} == {
        "exercises.csv", "misconceptions.csv", "statistics.csv"
    }  # fmt: skip
    text = " ".join(path.read_text(encoding="utf-8") for path in figures)
    assert not [one for one in students(120) if re.search(rf"\b{one}\b", text)]
    assert "stay in" in " ".join(capsys.readouterr().out.split())


def test_two_classes_that_were_taught_alike_differ_by_chance(tmp_path):
    for pair in range(4):
        last = graded(tmp_path / f"a{pair}", 60, LAST, 10 + pair)
        this = graded(tmp_path / f"b{pair}", 60, LAST, 20 + pair)
        assert main(["compare", str(last), str(this)]) == 0
        rows = table(this, "compare")
        assert len(rows) >= 9
        assert {row["sure"] for row in rows} == {"no"}


def test_classes_too_small_for_figures_have_none_in_common(tmp_path, capsys):
    last, this = graded(tmp_path / "a", 4, LAST, 1), graded(tmp_path / "b", 4, THIS, 2)
    assert main(["compare", str(last), str(this)]) == 0
    assert "have no figure in common" in " ".join(capsys.readouterr().out.split())
    assert table(this, "to-change") == []


@pytest.mark.parametrize("which", ["LAST", "THIS"])
def test_a_folder_without_a_report_is_named(tmp_path, capsys, which):
    there = graded(tmp_path / "a", 5, LAST, 1)
    given = [str(there), str(there)]
    given[which == "THIS"] = str(tmp_path / "none")
    assert main(["compare", *given]) == 1
    assert capsys.readouterr().err.split()[0] == which  # a long path begins a line of its own
