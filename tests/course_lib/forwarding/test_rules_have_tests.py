"""Every rule that DEVELOPERS.md says the router keeps names a test that exists."""

import ast
import re
from collections import Counter
from pathlib import Path
from typing import NamedTuple

import pytest

from networks.forwarding_scene import north_pier
from structure.guide import table

HERE = Path(__file__).parent
CLAUSE = re.compile(r"RFC \d+(, (sections?|page) [\d.]+( and [\d.]+)?)?")


class Rule(NamedTuple):
    clause: str
    rule: str
    kept_by: str
    test: str


RULES = [Rule(*row) for row in table("clause", "rule", "kept by", "test")]
LEFT_OUT = table("clause", "rule that is not kept", "why")


def test_no_row_has_an_empty_cell():
    assert all(cell for row in (*RULES, *LEFT_OUT) for cell in row)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.clause}: {rule.rule}")
def test_the_test_of_a_rule_exists(rule):
    file, name = re.fullmatch(r"`(test_\w+\.py)::(test_\w+)`", rule.test).groups()
    tree = ast.parse((HERE / file).read_text())
    assert name in {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


def test_rules_are_kept_by_something_that_there_is():
    stages = {str(stage) for stage in north_pier().stages} | {"slow path"}
    assert {rule.kept_by for rule in RULES} <= stages


def test_clauses_are_written_alike_and_no_rule_comes_twice():
    assert all(CLAUSE.fullmatch(clause) for clause, *_ in (*RULES, *LEFT_OUT))
    assert max(Counter((rule.clause, rule.rule) for rule in RULES).values()) == 1


def test_the_sections_on_forwarding_are_all_there():
    """RFC 1812, section 5.3, but for 5.3.11 and 5.3.12, which say nothing of single packets."""
    told = re.findall(r"5\.3\.\d+", " ".join(clause for clause, *_ in (*RULES, *LEFT_OUT)))
    assert {f"5.3.{n}" for n in (*range(1, 11), 13)} <= set(told)
