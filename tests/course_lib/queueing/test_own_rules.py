"""What students' own rules may do, and what they are told when something is wrong with them."""

import functools
import math
import os
import re
import signal
import subprocess
import sys
import threading
from pathlib import Path

import numpy as np
import pytest

import course_lib
from course_lib.engine.compiled import CannotCompileError, ready
from course_lib.engine.rules import OwnRule, RuleError
from course_lib.engine.step_limits import STEPS
from course_lib.queueing.drop_policies import DropPolicy, keep, random_early, red_on_arrival
from course_lib.queueing.one_queue import FATES, serve, simulate
from course_lib.queueing.own_rules import own_policy, own_scheduler
from course_lib.queueing.packets import poisson_times, trace
from course_lib.queueing.schedulers import deficit_round_robin, next_with_credit

ROOT = Path(course_lib.__file__).parents[1]
THREE = trace([0.0, 0.5, 1.0], 1500, flow=[0, 1, 0])  # seconds to send at 1000 bit/s: they pile up
LIMIT = 1  # a name outside the rule

both_ways = pytest.mark.parametrize("compiled", [False, True])


@functools.cache
def policy_of(rule, memory):
    """Compile a rule once for all its runs: that takes longer than they do."""
    return own_policy(rule, memory=memory, tell=[].append)


def run(rule, compiled=None, packets=THREE, memory=(0.0,)):
    return simulate(packets, 1000, drop=policy_of(rule, memory), compiled=compiled)


def failure(rule, compiled=None, packets=THREE):
    with pytest.raises(RuleError) as caught:
        run(rule, compiled, packets)
    return str(caught.value)


def many(view, settings, memory):
    return view.others >= LIMIT


def part(count):
    """Help a rule with a loop of its own."""
    total = 0
    for step in range(count):
        total += step
    return total


def with_helper(view, settings, memory):
    ones = [1 for _ in range(view.others)]
    return part(len(ones) + 1) > 0


@both_ways
@pytest.mark.parametrize("rule", [many, with_helper, lambda view, settings, memory: view.others])
def test_a_rule_that_compiles_runs_both_ways(rule, compiled):
    assert run(rule, compiled).fate.tolist()[:2] == [0, 2]


@both_ways
@pytest.mark.parametrize("seed", range(3))
def test_a_rule_of_this_package_gives_the_same_run_as_ones_own(seed, compiled):
    packets = trace(poisson_times(1.1, 2000, np.random.default_rng(seed)), 1.0)
    red = random_early(2, 9, 1.0, weight=0.1, top_chance=0.5)
    own = own_policy(red_on_arrival, settings=red.settings, memory=red.memory)
    mine = simulate(packets, 8.0, drop=own, seed=seed, compiled=compiled)
    theirs = simulate(packets, 8.0, drop=red, seed=seed)
    assert isinstance(own.on_arrival, OwnRule)
    assert (theirs.fate == FATES.index("dropped on arrival")).any()
    assert np.array_equal(mine.fate, theirs.fate)


@both_ways
def test_a_scheduler_may_be_ones_own(compiled):
    quanta, memory = (1500.0, 500.0), (0.0,) * 4
    own = own_scheduler(next_with_credit, 2, settings=quanta, memory=memory)
    packets = trace(np.zeros(40), 400, flow=np.arange(40) % 2)
    order = np.argsort(simulate(packets, 1000, scheduler=own, compiled=compiled).began_s)
    theirs = simulate(packets, 1000, scheduler=deficit_round_robin(quanta))
    assert order.tolist() == np.argsort(theirs.began_s).tolist()
    assert order.tolist() != sorted(order.tolist())


def test_a_new_rule_leaves_the_loop_as_it_was():
    before = ready(serve)
    run(lambda view, settings, memory: False)
    run(lambda view, settings, memory: True)
    assert ready(serve) is before
    assert len(before.signatures) == 1


def test_a_rule_that_has_been_given_to_numba_is_taken_back():
    import numba

    assert run(numba.njit(many)).fate.tolist() == run(many).fate.tolist()


# What cannot be compiled -------------------------------------------------------------------------

KNOWN = {1500: True}


def by_table(view, settings, memory):
    size = int(view.octets)
    return KNOWN[size]


def unknown_field(view, settings, memory):
    if view.others > 0:
        return view.colour == 1
    return False


def mixed_kinds(view, settings, memory):
    answer = 0
    if view.others > 0:
        answer = "many"
    return answer == 0


def text_index(view, settings, memory):
    return memory["count"] > 0


def formatted(view, settings, memory):
    print(f"{view.others:3d}")
    return False


def calls_itself(view, settings, memory):
    return view.others > 0 and calls_itself(view, settings, memory)


@pytest.mark.parametrize(
    ("rule", "reason"),
    [
        (by_table, "line 3 of by_table, `return KNOWN[size]`: `KNOWN` is nothing"),
        (
            unknown_field,
            "line 3 of unknown_field, `return view.colour == 1`: PacketView has no `colour`.",
        ),
        (mixed_kinds, "`answer` is whole number at one time, text at another."),
        (text_index, 'line 2 of text_index, `return memory["count"] > 0`: places in a row are'),
        (formatted, 'line 2 of formatted, `print(f"{view.others:3d}")`: Numba says: format'),
        (calls_itself, "calls_itself calls itself, directly or by others."),
    ],
)
def test_what_cannot_be_compiled_is_said_in_a_line_with_the_price(rule, reason, capsys):
    said = []
    own_policy(rule, memory=(0.0,), tell=said.append)
    assert len(said) == 1
    assert "\n" not in said[0]
    assert reason in said[0]
    assert said[0].startswith(f"{rule.__name__} runs in plain Python, some hundred times slower")
    assert capsys.readouterr().err == ""


def test_what_cannot_be_compiled_runs_all_the_same():
    assert run(by_table).fate.tolist() == [2, 2, 2]


def test_who_asks_for_machine_code_is_told_that_there_is_none():
    with pytest.raises(CannotCompileError, match="by_table cannot be compiled: line 3 of by_table"):
        run(by_table, compiled=True)


@pytest.mark.parametrize(
    ("rule", "message"),
    [
        (lambda view, settings: False, r"is given three things \(view, settings, memory\)"),
        (print, "must be a function made with `def`"),
        (7, "must be a function made with `def`, not 7"),
    ],
)
def test_what_is_no_rule_is_refused_at_once(rule, message):
    with pytest.raises(TypeError, match=message):
        own_policy(rule)


def test_memory_has_to_be_numbers():
    with pytest.raises(TypeError, match="memory must be a row of numbers, not 'abc'"):
        own_policy(many, memory="abc")


# What goes wrong in a run ------------------------------------------------------------------------


def bad_index(view, settings, memory):
    if view.now_s > 0:
        memory[5] = 1.0
    return False


def refuses(view, settings, memory):
    if view.others:
        raise ValueError("not on Sundays")
    return False


def helper_fails(view, settings, memory):
    return inverse(view.others) > 2


def inverse(number):
    return 1 / number


@both_ways
@pytest.mark.parametrize(
    ("rule", "told"),
    [
        (bad_index, "bad_index failed in line 3, `memory[5] = 1.0`: IndexError: index 5"),
        (refuses, 'line 3, `raise ValueError("not on Sundays")`: ValueError: not on Sundays.'),
        (helper_fails, "helper_fails failed in line 2 of inverse, `return 1 / number`: ZeroDiv"),
    ],
)
def test_an_error_is_told_with_its_line_and_packet(rule, told, compiled):
    message = failure(rule, compiled)
    assert told in message
    assert "It was asked about a packet with now_s=0" in message


def test_the_packet_is_the_one_at_which_it_failed():
    assert "now_s=0.5, octets=1500, waited_s=0, others=1," in failure(bad_index, compiled=True)


def no_answer(view, settings, memory):
    if view.others > 90:
        memory[0] = 1.0


def number(view, settings, memory):
    memory[0] = view.others / 2
    return memory[0] + 0.5


def not_a_number(view, settings, memory):
    return math.inf - math.inf


@pytest.mark.parametrize("compiled", [False, None])
@pytest.mark.parametrize(
    ("rule", "told"),
    [
        (no_answer, "no_answer answered None at its end, without a `return`. The answer has to be"),
        (
            number,
            "number answered 0.5 in line 3, `return memory[0] + 0.5`. The answer has to be True",
        ),
        (not_a_number, "not_a_number answered nan in line 2"),
        (lambda view, settings, memory: "yes", "answered 'yes'"),
        (lambda view, settings, memory: (True, 1), "answered (True, 1)"),
    ],
)
def test_an_answer_that_cannot_be_meant_is_refused(rule, told, compiled):
    assert told in failure(rule, compiled)


@both_ways
@pytest.mark.parametrize("answer", [-1, 1, 7, 0.5])
def test_a_scheduler_has_to_choose_a_queue_in_which_a_packet_waits(answer, compiled):
    own = own_scheduler(lambda heads, settings, memory: settings[0], 3, settings=(answer,))
    with pytest.raises(RuleError, match="number of a queue in which a packet waits") as caught:
        simulate(trace([0.0], 1.0), 8.0, scheduler=own, compiled=compiled)
    assert "1 in queue 0, 0 in queue 1, 0 in queue 2" in str(caught.value)


def forever(view, settings, memory):
    while view.others > 0:
        memory[0] += 1
    return False


def forever_at_a_stand(view, settings, memory):
    if view.others > 0:
        while True: pass  # fmt: skip  # noqa: E701 - goes back to where it stands
    return False


def forever_all_caught(view, settings, memory):
    while True:
        try:
            memory[0] += part(10)
        except Exception:
            memory[0] = 0
    return False


def forever_in_a_helper(view, settings, memory):
    return endless(view.others)


def endless(count):
    while count < 10:
        count -= 1
    return False


def long_row(view, settings, memory):
    return len([x + 1 for x in range(10**12)]) > 3


def long_helpers(view, settings, memory):
    for _ in range(10**5):
        memory[0] += part(10**5)
    return False


@both_ways
@pytest.mark.parametrize(
    ("rule", "line"),
    [
        (forever, "line [23], `(while view.others > 0:|memory.0. .= 1)`"),
        (forever_at_a_stand, "line 3, `while True: pass.*`"),
        (forever_all_caught, "line [3-6](, `(memory.0. .= .*|try:)`| of part, `.*`)"),
        (forever_in_a_helper, "line [23] of endless, `(while count < 10:|count -= 1)`"),
        (long_row, r"line 2, `return len\(\[x \+ 1 for x in range\(10\*\*12\)\]\) > 3`"),
        (long_helpers, "line [45] of part, `(for step in range.count.:|total .= step)`"),
    ],
)
def test_a_loop_without_end_is_ended_and_told(rule, line, compiled):
    """Which line of the loop it is depends on where Python, in this version, goes back."""
    message = failure(rule, compiled)
    assert re.search(f"failed in {line}: more than {STEPS:,} steps in one call", message)


STEPS_OF_A_CALL = STEPS // 20  # passes: each is some of Python's instructions


def many_passes(view, settings, memory):
    for step in range(STEPS_OF_A_CALL):
        memory[0] = step
    return False


@both_ways
def test_steps_are_counted_for_each_call_and_not_for_the_run(compiled):
    packets = trace([0.0] * 40, 1.0)
    assert run(many_passes, compiled, packets).fate.tolist() == [0] * 40


@both_ways
def test_a_rule_whose_text_nobody_can_read_again_is_ended_too(compiled):
    names = {}
    exec("def hidden(view, settings, memory):\n    while True: memory[0] += 1", names)
    message = failure(names["hidden"], compiled)
    assert f"hidden failed in line 2: more than {STEPS:,} steps in one call" in message


def test_whoever_traces_goes_on_tracing_after_a_rule_in_plain_python():
    """A debugger, or what measures the coverage of tests."""
    before, seen = sys.gettrace(), []
    mine = lambda frame, event, arg: seen.append(event)  # noqa: E731
    sys.settrace(mine)
    try:
        run(many, compiled=False)
        assert sys.gettrace() is mine
    finally:
        sys.settrace(before)


def test_a_rule_that_cannot_be_repeated_is_said_to_be_so():
    def chancy(view, settings, memory):
        if np.random.random() < 2:  # compiled and plain code have generators of their own
            memory[0] += 1.0
        return memory[0] > 0

    calls = []

    def once(compiled):
        calls.append(compiled)
        return 1 / 0 if compiled else None

    from course_lib.engine.rules import run_with_rules

    rule = own_policy(chancy, memory=(0,)).on_arrival
    with pytest.raises(RuleError, match=r"failed as machine code .*, but not in plain Python"):
        run_with_rules(once, [rule], True)
    assert calls == [True, False]


def test_rules_of_this_package_are_called_without_further_ado():
    with pytest.raises(ValueError, match="link_bits_per_s must be above 0"):
        simulate(THREE, 0, drop=own_policy(many))
    policy = DropPolicy(many, keep)
    assert simulate(THREE, 1000, drop=policy).fate.tolist() == run(many).fate.tolist()


# Ctrl-C ------------------------------------------------------------------------------------------

INTERRUPTED = """
import os, signal, subprocess, sys
from course_lib.queueing.one_queue import simulate
from course_lib.queueing.own_rules import own_policy
from course_lib.queueing.packets import trace

def slow(view, settings, memory):
    for step in range(900_000):
        memory[0] += 1.0 / (step + 1)
    return False

policy = own_policy(slow, memory=(0,))
assert policy.on_arrival.reason == ""
simulate(trace([0.0], 1.0), 8.0, drop=policy)
subprocess.Popen(["sh", "-c", f"sleep 0.3; kill -INT {os.getpid()}"])
try:
    simulate(trace([0.0] * 1_000_000, 1.0), 8.0, drop=policy)  # an hour
except KeyboardInterrupt:
    print("interrupted,", simulate(trace([0.0], 1.0), 8.0, drop=policy).fate)
"""


@pytest.mark.skipif(os.name != "posix", reason="sends the signal of Ctrl-C")
def test_ctrl_c_ends_a_run_in_the_middle_of_compiled_code(tmp_path):
    program = tmp_path / "interrupted.py"
    program.write_text(INTERRUPTED)
    done = subprocess.run(
        [sys.executable, str(program)],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.stdout.splitlines()[-1:] == ["interrupted, [0]"], done.stderr
    assert done.stderr == ""


def test_rules_may_run_in_another_thread():
    fates = []
    thread = threading.Thread(target=lambda: fates.append(run(many).fate.tolist()))
    thread.start()
    thread.join(timeout=30)
    assert fates == [run(many).fate.tolist()]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler
