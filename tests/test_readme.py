"""The README promises nothing that is not so."""

import re
import shlex
import tomllib

import pytest

from course_lib.cli import _parser
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


GUIDE = (ROOT / "instructor" / "hub" / "README.md").read_text(encoding="utf-8")
STANDS_FOR = {
    "FOLDER": "class", "BUNDLE": "hop-by-hop-2.zip", "UNIT": unit_names()[0],
    "ADDRESS/LENGTH": "192.0.2.10/24",
}  # fmt: skip


def commands(text):
    """Return what is typed after `hopbyhop`, in blocks and in the text."""
    typed = re.findall(r"`hopbyhop ([^`]+)`", text)
    typed += re.findall(r"^ {4,}(?:\S*/)?hopbyhop (.+)$", text, flags=re.MULTILINE)
    return sorted({" ".join(one.split()) for one in typed} - {"grade --explain TOPIC"})


@pytest.mark.parametrize("line", sorted({*commands(README), *commands(GUIDE)}))
def test_every_command_that_is_named_is_one(line, capsys):
    words = [STANDS_FOR.get(word, word) for word in shlex.split(line)]
    words += ["--help"] * (len(words) == 1)  # a command that is only named
    status = 0
    try:
        _parser().parse_args(words)
    except SystemExit as ended:  # what only says something ends so
        status = ended.code
    assert status == 0, capsys.readouterr().err
