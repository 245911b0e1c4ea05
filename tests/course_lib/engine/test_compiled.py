"""Compiled or not: who decides, what is kept between starts, and what students' rules may do.

Starts are tested in processes of their own, with a copy of the package where the place matters.
"""

import os
import shutil
import subprocess
import sys
import textwrap
from pathlib import Path

import numpy as np
import pytest

import course_lib
from course_lib.engine import compiled
from course_lib.engine.compiled import LOOPS, CannotCompileError, prepare, ready
from course_lib.engine.machine_types import CountTable, function_type
from course_lib.queueing import one_queue
from course_lib.queueing.drop_policies import DropPolicy, DropRule, keep
from course_lib.queueing.one_queue import FATES, simulate
from course_lib.queueing.packets import trace
from course_lib.queueing.schedulers import ChoiceRule, only_queue

LIBRARY = Path(course_lib.__file__).parent
PREPARE_ONE = """
from course_lib.engine.compiled import prepare
from course_lib.queueing.schedulers import ChoiceRule, only_queue
lines = []
done = prepare([(only_queue, ChoiceRule)], lines.append)
print(done.compiled, done.fetched, "|", lines[-1])
"""


def python(source, folder, **environment):
    """Run a program in a new process; `folder` is where it finds `course_lib`."""
    inherited = {k: v for k, v in os.environ.items() if not k.startswith(("NUMBA", "HOP_", "XDG"))}
    result = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(source)],
        cwd=folder,
        env={**inherited, "PYTHONPATH": str(folder), **environment},
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert result.returncode == 0, result.stderr
    return result.stdout.strip()


@pytest.fixture
def copy(tmp_path):
    """Return a folder with a copy of the package's source."""
    ignored = shutil.ignore_patterns("__pycache__")
    shutil.copytree(LIBRARY, tmp_path / "course_lib", ignore=ignored)
    return tmp_path


def test_importing_every_module_does_not_load_the_compiler():
    modules = [f"course_lib.{home}.{path.stem}"
               for home in LOOPS for path in (LIBRARY / home).glob("[!_]*.py")]  # fmt: skip
    assert len(modules) > 30
    source = f"import sys, {', '.join(modules)}; print('numba' in sys.modules)"
    assert python(source, LIBRARY.parent) == "False"


def test_the_second_start_fetches_what_the_first_has_kept(copy):
    first, second = python(PREPARE_ONE, copy), python(PREPARE_ONE, copy)
    assert first.startswith("1 0 | Ready after")
    assert second.startswith("0 1 | Ready after")


def test_a_change_anywhere_in_the_package_throws_away_what_was_kept(copy):
    python(PREPARE_ONE, copy)
    with (copy / "course_lib" / "queueing" / "theory.py").open("a") as source:
        source.write("# changed\n")
    assert python(PREPARE_ONE, copy).startswith("1 0 |")


def test_where_nothing_can_be_kept_it_compiles_all_the_same_and_says_so(copy):
    """Files stand where Numba would make its folders, beside the source and at home."""
    (copy / "course_lib" / "queueing" / "__pycache__").touch()
    (copy / "no_home").touch()
    places = {"HOME": str(copy / "no_home"), "XDG_CACHE_HOME": str(copy / "no_home")}
    said = python(PREPARE_ONE, copy, **places)
    assert said.startswith("1 0 | Ready after")
    assert "Not kept for the next start: cannot cache function" in said


@pytest.mark.parametrize(
    ("environment", "reason"),
    [
        ({"HOP_BY_HOP_UNCOMPILED": "1"}, "HOP_BY_HOP_UNCOMPILED is set"),
        ({"NUMBA_DISABLE_JIT": "1"}, "NUMBA_DISABLE_JIT is set"),
    ],
)
def test_the_environment_can_switch_compiling_off(environment, reason):
    source = """
        from course_lib.engine import compiled
        from course_lib.queueing.one_queue import serve, simulate
        from course_lib.queueing.packets import trace
        assert compiled.ready(serve) is serve
        lines = []
        compiled.prepare([(serve, None)], lines.append)
        print(simulate(trace([0.0], 1.0), 8.0).left_s, lines[-1])
    """
    said = python(source, LIBRARY.parent, **environment)
    assert said.splitlines()[-1] == f"[1.] plain Python: {reason}"


def test_without_the_compiler_all_runs_as_plain_python():
    source = """
        import sys
        sys.modules["numba"] = None  # what a failed import leaves behind
        from course_lib.engine.compiled import engine
        from course_lib.queueing.one_queue import simulate
        from course_lib.queueing.packets import trace
        print(simulate(trace([0.0], 1.0), 8.0).left_s, engine().reason.split(" (")[0])
        try:
            simulate(trace([0.0], 1.0), 8.0, compiled=True)
        except RuntimeError as error:
            print(str(error)[:38])
    """
    first, second = python(source, LIBRARY.parent).splitlines()
    assert first == "[1.] plain Python: Numba cannot be loaded"
    assert second == "cannot compile here: plain Python: Num"


def test_the_caller_can_ask_for_plain_python():
    assert ready(only_queue, ChoiceRule, compiled=False) is only_queue
    assert ready(only_queue, ChoiceRule) is not only_queue


def test_progress_is_told_step_by_step():
    lines = []
    done = prepare([(keep, DropRule), (only_queue, ChoiceRule)], lines.append)
    assert lines[0] == "Loading the compiler."
    assert lines[1].startswith("Preparing 1 of 2: keep.")
    assert lines[2].startswith("Preparing 2 of 2: only_queue.")
    assert lines[3].startswith(f"Ready after {done.seconds:.1f} s, {done.fetched} of 2 from an ")
    assert done.compiled + done.fetched == 2


def more_than(most):
    """Return a rule that drops what finds more than this."""
    return lambda view, settings, memory: view.others > most


def test_a_new_rule_leaves_the_loop_as_it_was():
    simulate(trace([0.0], 1.0), 8.0)
    machine = ready(one_queue.serve)
    before = list(machine.signatures)
    for most in range(3):
        run = simulate(trace([0.0] * 9, 1.0), 8.0, drop=DropPolicy(more_than(most), keep))
        assert (run.fate == FATES.index("sent")).sum() == most + 1
    assert ready(one_queue.serve) is machine
    assert machine.signatures == before


def half(number):
    """Help a rule, from the same file."""
    return number // 2


def every_other(view, settings, memory):
    """Drop every second packet: a whole number for an answer is as good as True or False."""
    memory[0] += 1
    return half(int(memory[0])) * 2 == int(memory[0])


@pytest.mark.parametrize("compiled", [False, True])
def test_a_rule_of_ones_own_may_call_helpers_and_needs_no_annotations(compiled):
    policy = DropPolicy(every_other, keep, memory=(0.0,))
    run = simulate(trace(np.arange(6.0), 0.5), 8.0, drop=policy, compiled=compiled)
    assert run.fate.tolist() == [0, 2, 0, 2, 0, 2]


@pytest.mark.parametrize("compiled", [False, True])
def test_an_index_outside_the_array_is_an_error_and_destroys_nothing(compiled):
    def outside(view, settings, memory):
        memory[5] = 1.0
        return False

    policy = DropPolicy(outside, keep, memory=(0.0,))
    with pytest.raises(IndexError, match="out of bounds"):
        simulate(trace([0.0], 1.0), 8.0, drop=policy, compiled=compiled)


@pytest.mark.parametrize("compiled", [False, True])
def test_an_error_that_a_rule_raises_reaches_the_caller(compiled):
    def refuse(view, settings, memory):
        if view.now_s >= 0:
            raise ValueError("not on Sundays")
        return False

    policy = DropPolicy(refuse, keep)
    with pytest.raises(ValueError, match="not on Sundays"):
        simulate(trace([0.0], 1.0), 8.0, drop=policy, compiled=compiled)


@pytest.mark.parametrize(
    "rule",
    [
        lambda view, settings, memory: Path("here").exists(),
        lambda view, settings: False,
        lambda view, settings, memory: view.colour == 1,
        lambda view, settings, memory: None,
        lambda view, settings, memory: "yes",
    ],
    ids=["files", "two arguments", "unknown field", "no answer", "text"],
)
def test_what_cannot_be_compiled_is_explained(rule):
    with pytest.raises(CannotCompileError, match=r"cannot be compiled\. Rules and loops may use"):
        simulate(trace([0.0], 1.0), 8.0, drop=DropPolicy(rule, keep), compiled=True)


def test_only_plain_functions_can_be_compiled():
    with pytest.raises(CannotCompileError, match="is not a plain function"):
        ready(print, DropRule)


def unfinished(first: float, second):
    """Lack an annotation."""


def odd(words: list[str]) -> None:
    """Want what machine code has not."""


@pytest.mark.parametrize(
    ("function", "message"),
    [
        (unfinished, "unfinished: annotate second, return to compile it"),
        (odd, r"no machine type for list\[str\]"),
    ],
)
def test_a_loop_whose_types_are_not_known_is_refused(function, message):
    with pytest.raises(TypeError, match=message):
        ready(function, compiled=True)


def typed(table: CountTable, flag: bool, rule: DropRule) -> int:
    """Bear each kind of annotation."""
    return 0


def test_annotations_become_machine_types():
    assert str(function_type(typed)) == (
        "(Array(int64, 2, 'C', False, aligned=True), bool, FunctionType[bool(PacketView("
        "float64, float64, float64, int64, float64, float64, float64), array(float64, 1d, C), "
        "array(float64, 1d, C))]) -> int64"
    )


def test_the_engine_says_what_it_is():
    assert compiled.engine().compiled
    assert compiled.engine().reason.startswith("compiled by Numba ")
