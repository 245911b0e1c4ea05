"""Every rule that the router claims to keep names a test that exists."""

import ast
import re
from collections import Counter
from pathlib import Path

import pytest

from course_lib.forwarding_rules import LEFT_OUT, RULES
from forwarding_scene import north_pier

CLAUSE = re.compile(r"RFC \d+(, (sections?|page) [\d.]+( and [\d.]+)?)?")


def named_in(name):
    tree = ast.parse(Path(__file__).with_name(name).read_text())
    return {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: f"{rule.clause}: {rule.rule}")
def test_the_test_of_a_rule_exists(rule):
    assert rule.test.startswith("test_")
    assert rule.test in named_in(rule.test_file)


def test_rules_are_kept_by_something_that_there_is():
    stages = {str(stage) for stage in north_pier().stages} | {"slow path"}
    assert {rule.kept_by for rule in RULES} <= stages


def test_clauses_are_written_alike_and_no_rule_comes_twice():
    assert all(CLAUSE.fullmatch(each.clause) for each in (*RULES, *LEFT_OUT))
    assert max(Counter((rule.clause, rule.rule) for rule in RULES).values()) == 1


def test_the_sections_on_forwarding_are_all_there():
    """RFC 1812, section 5.3, but for 5.3.11 and 5.3.12, which say nothing of single packets."""
    told = re.findall(r"5\.3\.\d+", " ".join(each.clause for each in (*RULES, *LEFT_OUT)))
    assert {f"5.3.{n}" for n in (*range(1, 11), 13)} <= set(told)
