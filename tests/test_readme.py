"""The README promises nothing that is not so."""

import re
import tomllib

import pytest

from instructor.grading.pages.scores import COLUMNS
from instructor.release.workbook_files import ROOT, unit_names

README = (ROOT / "README.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("unit", unit_names())
def test_every_workbook_has_its_row_with_its_own_figures(unit):
    facts = tomllib.loads((ROOT / "workbooks" / unit / "unit.toml").read_text(encoding="utf-8"))
    minutes = sum(facts["minutes"].values())
    row = next(line for line in README.splitlines() if line.startswith(f"| {unit[:2]} "))
    cells = [cell.strip() for cell in row.strip("|").split("|")]
    assert cells[0] == f"{unit[:2]} {facts['title']}"
    assert cells[1] == facts["question"]
    assert cells[2] == str(minutes)
    assert cells[3] == f"{facts['points']} + {facts['hand_points']}"


def test_the_columns_of_the_scores_are_described():
    rows = re.findall(r"^\| `(\w+)` \|", README, flags=re.MULTILINE)
    assert tuple(rows) == COLUMNS


def test_every_picture_and_page_that_it_names_is_there():
    for target in re.findall(r"\]\(([^)]+)\)", README):
        assert target.startswith("https://") or (ROOT / target).exists(), target
