"""An answer runs apart: whatever it does comes back as a value, and in time."""

import sys
from textwrap import dedent

import pytest

from course_lib.runner.answer_process import RunnerError, start_here
from course_lib.runner.runner import Limits, StandAlone, run_answer

QUICK = Limits(case_s=0.5, load_s=1.0)


def run(source, cases=((1,),), **more):
    return run_answer(StandAlone(source), "f", cases, **{"limits": QUICK, **more})


def test_results_come_in_the_order_of_the_cases():
    results = run("def f(x):\n    return x * 2\n", [[1], [b"ab"], ["c"]]).results
    assert [result.value for result in results] == [2, b"abab", "cc"]


def test_an_exception_tells_its_kinds_its_text_and_its_line():
    (result,) = run("def f(x):\n    y = x\n    raise KeyError('which')\n").results
    assert result.kind == "raised"
    assert result.problem.kinds[:2] == ("KeyError", "LookupError")
    assert (result.problem.message, result.problem.line) == ("'which'", 3)


def test_lines_are_counted_in_the_answer_even_with_other_cells_in_front():
    answer = StandAlone("def f(x):\n    return g(x)\n", before="def g(x):\n\n\n    raise OSError\n")
    (result,) = run_answer(answer, "f", [[1]], limits=QUICK).results
    assert result.problem.line == 2


@pytest.mark.parametrize(
    "body",
    [
        pytest.param("while True:\n        pass", id="in-python"),
        pytest.param("sum(iter(int, 1))", id="in-c"),
        pytest.param("import time; time.sleep(60)", id="asleep"),
        pytest.param(
            "import signal\n    signal.signal(signal.SIGTERM, signal.SIG_IGN)\n"
            "    while True:\n        pass",
            id="deaf-to-signals",
        ),
    ],
)
def test_an_endless_loop_costs_its_own_case_alone(body):
    source = f"def f(x):\n    if x != 1:\n        return x\n    {body}\n"
    kinds = [result.kind for result in run(source, [[0], [1], [2]]).results]
    assert kinds == ["value", "out of time", "value"]


def test_after_two_time_outs_the_rest_is_not_tried():
    results = run("def f(x):\n    while True: pass\n", [[0]] * 5).results
    assert [result.kind for result in results] == ["out of time"] * 5
    assert "not tried" in results[-1].note


def test_a_flood_of_prints_is_counted_and_cut():
    done = run(
        "def f(x):\n    for i in range(200_000):\n        print('flood', i)\n    return x\n",
        limits=Limits(case_s=20),
    )
    assert done.results[0].value == 1
    assert done.printed_octets > 2_000_000
    assert len(done.printed) <= 2000


def test_what_is_printed_never_becomes_a_result():
    source = dedent("""
        print('{"case": 0, "value": 7}')
        def f(x):
            print('{"value": 8}')
            return 9
    """)
    assert run(source).results[0].value == 9


@pytest.mark.parametrize(
    ("body", "note"),
    [
        ("import os; os._exit(0)", "exit status 0"),
        ("import os, signal; os.kill(os.getpid(), signal.SIGSEGV)", "SIGSEGV"),
    ],
)
def test_a_process_that_ends_itself_costs_its_own_case_alone(body, note):
    source = f"def f(x):\n    if x:\n        {body}\n    return 5\n"
    results = run(source, [[0], [1], [0]]).results
    assert [result.kind for result in results] == ["value", "died", "value"]
    assert note in results[1].note


def test_leaving_by_sys_exit_is_an_exception_like_others():
    (result,) = run("import sys\ndef f(x):\n    sys.exit(0)\n").results
    assert result.problem.kind == "SystemExit"


def test_memory_is_limited():
    source = "def f(x):\n    return len(bytearray(3 << 30))\n"
    (result,) = run(source, limits=Limits(case_s=5, memory_octets=1 << 30)).results
    assert result.problem.kind == "MemoryError"


@pytest.mark.parametrize(
    ("source", "kind"),
    [
        ("def f(x)\n    return 1\n", "SyntaxError"),
        ("import nothing_of_this_name\n", "ModuleNotFoundError"),
        ("f = 5\n", "missing"),
        ("g = 5\n", "missing"),
        ("while True: pass\n", "out of time"),
        ("import os; os._exit(3)\n", "SystemExit"),
    ],
)
def test_a_cell_that_cannot_be_run_says_why(source, kind):
    done = run(source)
    assert done.results == ()
    assert done.load_problem.kind == kind


@pytest.mark.parametrize(
    ("value", "note"),
    [("lambda: 0", "type function"), ("object()", "type object"), ("1 << 9999", "bits")],
)
def test_a_value_that_is_not_plain_data_is_named(value, note):
    (result,) = run(f"def f(x):\n    return {value}\n").results
    assert result.kind == "not plain"
    assert note in result.note


def test_an_object_that_fights_being_read_is_a_bad_value():
    source = dedent("""
        class Fighter(list):
            def __iter__(self):
                raise ValueError
        def f(x):
            return Fighter([1])
    """)
    (result,) = run(source).results
    assert result.kind == "not plain"
    assert "ValueError" in result.note


@pytest.mark.parametrize(
    "line", ["", "nonsense", "[]", '{"value": {"octets": 1}}', '{"value": {"x": 1}}', "{}"]
)
def test_forged_replies_are_bad_values_and_nothing_worse(line):
    source = dedent("""
        import os
        def f(x):
            for descriptor in range(3, 9):
                try:
                    os.write(descriptor, LINE)
                except OSError:
                    pass
            return 1
    """).replace("LINE", repr(line.encode() + b"\n"))
    results = run(source, [[1], [2]]).results
    assert len(results) == 2
    assert results[0].kind == "not plain"


def test_threads_and_exit_handlers_left_behind_do_not_keep_it_waiting():
    """They would keep it waiting for ever: this test ends all the same."""
    source = (
        "import threading, time, atexit\n"
        "def f(x):\n"
        "    threading.Thread(target=threading.Event().wait).start()\n"
        "    atexit.register(threading.Event().wait)\n"
        "    return x\n"
    )
    assert run(source).results[0].value == 1


def test_input_is_empty_instead_of_waiting():
    (result,) = run("def f(x):\n    return input()\n").results
    assert result.problem.kind == "EOFError"


def test_a_driver_can_operate_an_object():
    source = dedent("""
        class f:
            def __init__(self, total):
                self.total = total
            def add(self, more):
                self.total += more
                return self.total
    """)
    steps = [["new", 5], ["add", 1], ["add", 2]]
    assert run(source, [[steps]], driver="operate").results[0].value == [6, 8]


def test_nothing_of_the_user_s_environment_passes(monkeypatch):
    monkeypatch.setenv("A_SECRET", "x")
    source = "import os\ndef f(x):\n    return os.environ.get('A_SECRET')\n"
    assert run(source).results[0].value is None


def test_a_process_that_does_not_start_is_tried_again():
    wrappers = [["false"], ["false"], []]
    done = run("def f(x):\n    return x\n", launcher=lambda: start_here(wrappers.pop(0)))
    assert done.results[0].value == 1


@pytest.mark.parametrize(
    "command", [["/no/such/program"], [sys.executable, "-c", "raise SystemExit('no sandbox')"]]
)
def test_a_process_that_cannot_start_is_our_fault(command):
    with pytest.raises(RunnerError, match="did not start"):
        run("def f(x):\n    return 1\n", launcher=lambda: start_here(command))


def test_more_prints_than_are_allowed_end_the_process():
    source = "def f(x):\n    while True:\n        print('x' * 1000)\n"
    (result,) = run(source, limits=Limits(case_s=20, printed_octets=1 << 20)).results
    assert (result.kind, result.note) == ("died", "printed more than 1,048,576 octets")


def test_replies_without_end_are_not_kept():
    source = (
        "import os\ndef f(x):\n    while True:\n        os.write(3, b'{\"case\": 9}\\n' * 500)\n"
    )
    kinds = [result.kind for result in run(source, [[0]] * 3, limits=Limits(case_s=5)).results]
    assert kinds == ["not plain"] * 3


def test_a_process_that_ends_again_and_again_is_given_up():
    results = run("import os\ndef f(x):\n    os._exit(1)\n", [[0]] * 9).results
    assert {result.kind for result in results} == {"died"}
    assert "not tried" in results[-1].note


def test_processor_time_is_limited():
    source = "def f(x):\n    while True:\n        pass\n"
    (result,) = run(source, limits=Limits(case_s=20, processor_s=1)).results
    assert (result.kind, result.note) == ("died", "ended by signal SIGKILL")


def test_the_size_of_a_file_is_limited(tmp_path):
    source = f"def f(x):\n    with open({str(tmp_path / 'large')!r}, 'wb') as file:\n"
    source += "        file.write(bytes(2 << 20))\n"
    (result,) = run(source, limits=Limits(case_s=5, file_octets=1 << 20)).results
    assert result.problem.kind == "OSError"


def test_text_that_no_file_can_hold_is_spelled_out():
    source = 'import os\ndef f(x):\n    os.write(3, b\'{"case": 0, "value": "\\\\ud800"}\\n\')\n'
    assert run(source).results[0].value == "\\ud800"


@pytest.mark.parametrize(
    ("loops_on", "kinds"),
    [
        pytest.param("x in (1, 2)", "value late late untried value value", id="one-part"),
        pytest.param("x > 0", "value late late untried late untried", id="both-parts"),
        pytest.param(
            "x >= 0", "late late untried untried untried untried", id="it-never-came-back"
        ),
    ],
)
def test_after_two_time_outs_only_parts_without_one_are_tried(loops_on, kinds):
    source = f"def f(x):\n    while {loops_on}: pass\n    return x\n"
    results = run(source, [[x] for x in range(6)], parts=list("aaaabb")).results
    found = ["untried" if "not tried" in result.note else result.kind for result in results]
    assert " ".join(found).replace("out of time", "late") == kinds
