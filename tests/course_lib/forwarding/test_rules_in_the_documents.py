"""DEVELOPERS.md lists every rule with its clause and its test, as the library knows them."""

import re
from pathlib import Path

from course_lib.forwarding_rules import LEFT_OUT, RULES, rules_as_markdown

HERE = Path(__file__).parent
DEVELOPERS = HERE.parents[2] / "DEVELOPERS.md"
MEND = "replace the two tables by the output of `python -m course_lib.forwarding_rules`"


def test_the_tables_in_the_document_are_those_of_the_library():
    assert rules_as_markdown() in DEVELOPERS.read_text(), MEND


def test_every_rule_has_a_row_and_no_row_has_an_empty_cell():
    rows = [line for line in rules_as_markdown().splitlines() if line.startswith("| RFC")]
    assert len(rows) == len(RULES) + len(LEFT_OUT)
    assert all(cell.strip() for row in rows for cell in row.strip("|").split("|"))


def test_every_test_that_the_document_names_is_there():
    named = re.findall(r"`(test_\w+\.py)::(test_\w+)`", DEVELOPERS.read_text())
    assert len(named) == len(RULES)
    assert [pair for pair in named if f"def {pair[1]}(" not in (HERE / pair[0]).read_text()] == []
