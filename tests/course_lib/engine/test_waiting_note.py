"""What a person sees while compiling takes its time, in a terminal and in a notebook."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from jupyter_client.manager import start_new_kernel

import course_lib
from course_lib.engine.waiting_note import finish_first, silence, waiting_note

ROOT = Path(course_lib.__file__).parents[1]
SHORT_S = 0.01
posix = pytest.mark.skipif(os.name != "posix", reason="sends the signal of Ctrl-C")

FIRST_RUN = """
from course_lib.engine.compiled import ready
from course_lib.queueing.one_queue import serve, simulate
from course_lib.queueing.packets import trace
fate = simulate(trace([0.0], 1.0), 8.0).fate
print("fetched" if ready(serve).stats.cache_hits else "compiled", fate)
"""


def test_what_is_quick_prints_nothing(capsys):
    with waiting_note("Quick"):
        pass
    assert capsys.readouterr() == ("", "")


def test_what_takes_long_is_said_and_finished_on_the_standard_output(capsys):
    with waiting_note("Thinking", lambda: "Good.", delay_s=SHORT_S):
        time.sleep(0.1)
    said, errors = capsys.readouterr()
    assert said.startswith("Thinking ... ready after 0.")
    assert said.endswith(" s. Good.\n")
    assert errors == ""


def test_a_note_ends_when_the_work_fails(capsys):
    def work():
        with waiting_note("Thinking", delay_s=SHORT_S):
            time.sleep(0.1)
            raise ValueError("bad luck")

    with pytest.raises(ValueError, match="bad luck"):
        work()
    assert capsys.readouterr().out.startswith("Thinking ... given up after 0.")


def test_a_note_inside_a_note_is_not_printed(capsys):
    with waiting_note("Outside", delay_s=SHORT_S), waiting_note("Inside", delay_s=SHORT_S):
        time.sleep(0.1)
    assert "Inside" not in capsys.readouterr().out


def test_notes_can_be_silenced_and_come_back(capsys):
    with silence(), waiting_note("Hush", delay_s=SHORT_S):
        time.sleep(0.05)
    with waiting_note("Heard", delay_s=SHORT_S):
        time.sleep(0.1)
    assert capsys.readouterr().out.startswith("Heard ... ready")


@pytest.fixture
def usual_interrupt():
    """Let Ctrl-C do what it does in a fresh Python, whatever ran in this process before."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@posix
def test_ctrl_c_waits_for_the_end_of_what_must_not_be_half_done(usual_interrupt):
    done = []

    def work():
        with finish_first():
            os.kill(os.getpid(), signal.SIGINT)
            done.append("all of it")

    with pytest.raises(KeyboardInterrupt):
        work()
    assert done == ["all of it"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def environment(place):
    others = {key: value for key, value in os.environ.items() if not key.startswith("NUMBA")}
    return {**others, "NUMBA_CACHE_DIR": str(place), "PYTHONPATH": str(ROOT)}


def start(place):
    return subprocess.Popen(
        [sys.executable, "-c", FIRST_RUN],
        env=environment(place),
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_the_first_run_in_a_terminal_says_what_it_does_and_the_next_fetches(tmp_path):
    first, errors = start(tmp_path).communicate(timeout=60)
    assert "Preparing serve for its first run ... ready after " in first
    assert first.endswith("compiled [0]\n")
    assert errors == ""
    second, errors = start(tmp_path).communicate(timeout=60)
    assert second.endswith("fetched [0]\n")
    assert errors == ""


def test_two_starts_may_fill_one_folder_at_the_same_time(tmp_path):
    both = [start(tmp_path) for _ in range(2)]
    said = [process.communicate(timeout=60) for process in both]
    assert [(out.endswith("[0]\n"), errors) for out, errors in said] == [(True, "")] * 2
    assert start(tmp_path).communicate(timeout=60)[0].endswith("fetched [0]\n")


@pytest.fixture
def kernel(tmp_path):
    """Return a notebook's Python with an empty folder for what is compiled."""
    manager, client = start_new_kernel(env=environment(tmp_path))
    yield manager, client
    client.stop_channels()
    manager.shutdown_kernel(now=True)


def cell(client, source):
    """Run a cell; return what it printed, by stream, and the name of its error."""
    printed, error = {"stdout": "", "stderr": ""}, None

    def take(message):
        nonlocal error
        content = message["content"]
        if message["msg_type"] == "stream":
            printed[content["name"]] += content["text"]
        error = content.get("ename", error)

    client.execute_interactive(source, timeout=60, output_hook=take)
    return printed["stdout"], printed["stderr"], error


def test_a_notebook_shows_the_note_in_the_cell_that_waits(kernel):
    _, client = kernel
    said, errors, _ = cell(client, FIRST_RUN)
    assert "Preparing serve for its first run ... ready after " in said
    assert errors == ""


STOP_SOON = """
import os, signal, threading
threading.Timer(0.7, os.kill, (os.getpid(), signal.SIGINT)).start()
"""


@posix
def test_interrupting_a_notebook_while_it_compiles_leaves_it_usable(kernel):
    """The signal of the stop button comes from inside, so that it never comes too late."""
    _, client = kernel
    _, _, error = cell(client, STOP_SOON + FIRST_RUN)
    assert error == "KeyboardInterrupt"
    said, errors, error = cell(client, FIRST_RUN)
    assert (said[-4:], errors, error) == ("[0]\n", "", None)
