"""What students are told when their own drop policy meets flows of TCP and something is wrong."""

import pytest

from course_lib.engine.rules import RuleError
from course_lib.queueing.own_rules import own_policy
from course_lib.tcp.simulation import simulate_tcp
from course_lib.tcp.traffic import flows

both_ways = pytest.mark.parametrize("compiled", [False, True])


def run(compiled=None, told=None, **rules):
    policy = own_policy(**rules, memory=(0.0,), tell=[].append if told is None else told.append)
    return simulate_tcp(flows(2, 0.05), 2e6, 20, to_s=2, drop=policy, compiled=compiled)


def dropped(result):
    return result.per_flow.dropped.tolist()


def each_fiftieth(view, settings, memory):
    memory[0] += 1
    return memory[0] % 50 == 0


def needs_plain_python(view, settings, memory):
    memory[0] += 1
    return view._asdict()["others"] >= 0 and memory[0] % 50 == 0


def divides(view, settings, memory):
    spare = view.others - 5
    return 1 / spare > 2


def reads_beyond(view, settings, memory):
    return memory[int(view.others)] > 0


def answers_seven(view, settings, memory):
    return 7 if view.others > 5 else False


def never_ends(view, settings, memory):
    while view.others > 5:
        memory[0] += 1
    return False


WRONG = pytest.mark.parametrize(
    ("rule", "words"),
    [
        (divides, r"divides failed in line 3, `return 1 / spare > 2`: ZeroDivisionError"),
        (reads_beyond, r"reads_beyond failed in line 2, `return memory.*IndexError"),
        (answers_seven, r"answers_seven answered 7 in line 2.*True \(drop the packet\) or False"),
        (never_ends, r"never_ends failed in line [23].*the loop seems to have no end"),
    ],
)


@both_ways
@pytest.mark.parametrize("place", ["on_arrival", "at_head"])
@WRONG
def test_a_rule_that_fails_is_told_with_its_line(rule, words, place, compiled):
    with pytest.raises(RuleError, match=words):
        run(compiled, **{place: rule})


def test_an_own_rule_that_is_right_gives_the_same_numbers_both_ways():
    plain, fast = (run(compiled, on_arrival=each_fiftieth) for compiled in (False, True))
    assert dropped(plain) == dropped(fast)
    assert sum(dropped(plain)) > 3


def test_a_rule_that_cannot_be_compiled_says_so_and_runs_in_plain_python():
    told = []
    result = run(told=told, on_arrival=needs_plain_python)
    assert dropped(result) == dropped(run(on_arrival=each_fiftieth))
    assert "needs_plain_python runs in plain Python" in told[0]
