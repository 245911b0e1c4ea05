"""A matching of one's own runs in the switch, compiled or not, and its faults are told in words."""

import numpy as np
import pytest

from course_lib.engine.rules import RuleError
from course_lib.switching.own_rules import own_matching
from course_lib.switching.switch import Waiting, measure_switch, simulate_switch, uniform_cells
from course_lib.switching.theory import INPUT_LIMIT

CELLS = uniform_cells(8, 0.9, 2_000, np.random.default_rng(9))


def lowest_first(requests, settings, memory, matched):
    """Give each input the first output that is free, from an input on that changes."""
    ports = len(matched)
    for step in range(ports):
        i = (memory[0] + step) % ports
        for output in range(ports):
            is_free = True
            for other in range(ports):
                if matched[other] == output:
                    is_free = False
            if is_free and requests[i, output] > 0:
                matched[i] = output
                break
    memory[0] += settings[0]


def test_a_rule_of_ones_own_carries_more_than_one_line_at_each_input_can():
    matching = own_matching(lowest_first, settings=(1,), memory=(0,))
    measures = measure_switch(simulate_switch(CELLS, Waiting.VIRTUAL, matching), 200)
    assert measures.carried > INPUT_LIMIT + 0.2


def test_compiled_and_plain_runs_agree_and_memory_begins_anew():
    matching = own_matching(lowest_first, settings=(1,), memory=(0,))
    runs = [
        simulate_switch(CELLS[:200], Waiting.VIRTUAL, matching, compiled=compiled)
        for compiled in (True, False, True)
    ]
    assert all((run.left_slot == runs[0].left_slot).all() for run in runs)


def beyond_the_table(requests, settings, memory, matched):
    """Look one output too far."""
    matched[0] = requests[0, len(matched)]


def without_end(requests, settings, memory, matched):
    """Never come back."""
    while True:
        matched[0] = -1


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (beyond_the_table, r"failed in line 3, `matched\[0\] = .*`: IndexError: .*\[\[0, 0, 1\]"),
        (without_end, "the loop seems to have no end"),
    ],
)
def test_a_rule_that_fails_is_told_with_its_line_and_what_it_was_asked(rule, message, capsys):
    with pytest.raises(RuleError, match=message):
        simulate_switch([[2, 0, 1], [-1, -1, -1]], Waiting.VIRTUAL, own_matching(rule))


PLACES = {"first": 0}


def by_name(requests, settings, memory, matched):
    """Look into a table with names, which cannot be compiled."""
    matched[0] = PLACES["first"]


def test_a_rule_that_cannot_be_compiled_runs_in_plain_python_and_says_why():
    told = []
    run = simulate_switch([[0]], Waiting.VIRTUAL, own_matching(by_name, tell=told.append))
    assert run.left_slot.tolist() == [[0]]
    assert "by_name runs in plain Python" in told[0]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: own_matching(lambda requests: None), r"is given four things \(requests, settings"),
        (lambda: own_matching(7), "must be a function made with `def`, not 7"),
        (
            lambda: own_matching(lowest_first, memory=(0.5,)),
            "memory must be a row of whole numbers",
        ),
    ],
)
def test_what_is_no_matching_rule_is_refused_in_words(call, message):
    with pytest.raises(TypeError, match=message):
        call()
