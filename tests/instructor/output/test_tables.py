"""Nothing in a table that is written here runs in a spreadsheet, wherever it cuts the lines."""

import ast
import csv
import io
import itertools
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import course_lib
import instructor
from instructor.output.tables import inert_cell, write_table

SIGNS = "=+-@＝＋－＠"
NUMBERS = ["-1", "-0.5", "+2", "0", "12.25", "-1e-05", "-3,5"]


@pytest.mark.parametrize("first", ["", "x;", "x\t", "x,", "x; y;", ";"])
def test_a_formula_is_inert_in_front_and_after_every_cut(first):
    blanks = ("", " ", "  ", "\t", "\r", "\n", "\u00a0", "\u3000", '"', ' "')
    for before, sign in itertools.product(blanks, SIGNS):
        cell = inert_cell(f"{first}{before}{sign}1+1")
        for part in re.split(r"[,;\t\r\n]", cell):
            assert not part.lstrip(' "\u00a0\u3000').startswith(tuple(SIGNS)), cell


@pytest.mark.parametrize("number", NUMBERS)
def test_a_number_stays_a_number_with_a_minus_too(number):
    assert inert_cell(number) == number
    assert inert_cell(f"{number};{number}") == f"{number};{number}"


@pytest.mark.parametrize("cell", ["", "alder", "0.25", "a=b", "a-b", "x; y", "see 1 - 2", "'=1"])
def test_other_text_is_left_alone(cell):
    assert inert_cell(cell) == cell


@given(st.text(alphabet=[*SIGNS, *" \t\r\n;,\"'ab1.e"], max_size=12))
def test_whatever_the_cuts_no_piece_begins_like_a_formula_but_a_number(text):
    for cut in (";", ",", "\t", "\n"):
        for part in re.split(rf"[{cut}\r\n]", inert_cell(text)):
            left = part.lstrip(' "')
            is_number = re.fullmatch(
                r"[+-]\d+(\.\d+)?(e[+-]?\d+)?", re.split(r"[;,\t]", left)[0].strip(' "')
            )
            assert is_number or not left.startswith(tuple(SIGNS))


def test_a_long_row_of_blanks_costs_no_more_than_its_length():
    """A pattern that tried each place again would take hours here."""
    for sign in (" ", "\n", "\t", '"', ";"):
        inert_cell(sign * 1_000_000)


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_what_is_read_back_is_what_was_written_but_for_the_quotes(tmp_path, delimiter):
    write_table(tmp_path / "t.csv", ("a", "=b"), [("x;=1", "-1"), ('"q"', "")], delimiter=delimiter)
    text = (tmp_path / "t.csv").read_text()
    assert list(csv.reader(io.StringIO(text), delimiter=delimiter)) == [
        ["a", "'=b"], ["x;'=1", "-1"], ['"q"', ""],
    ]  # fmt: skip


def test_every_table_of_the_project_is_written_in_this_one_place():
    """Whoever writes CSV needs `csv.writer` or `csv.DictWriter`, or pastes delimiters by hand."""
    homes = [Path(course_lib.__file__).parent, Path(instructor.__file__).parent]
    writers = set()
    for path in (one for home in homes for one in home.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            is_writer = isinstance(node, ast.Attribute) and node.attr in (
                "writer", "DictWriter", "to_csv", "savetxt",
            )  # fmt: skip
            names = node.names if isinstance(node, ast.ImportFrom) and node.module == "csv" else ()
            if is_writer or any(one.name != "reader" for one in names):
                writers.add(path.name)
    assert writers == {"tables.py"}
    named = [
        path for home in homes for path in home.rglob("*.py")
        if re.search(r"write_(text|whole|bytes)\([^\n]*\.csv", path.read_text(encoding="utf-8"))
    ]  # fmt: skip
    assert named == []
