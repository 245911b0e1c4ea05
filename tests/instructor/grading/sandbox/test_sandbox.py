"""In a sandbox an answer sees the run-time and nothing of the grader's, and leaves nothing."""

from pathlib import Path

import pytest

import course_lib
import instructor
from course_lib.runner.runner import Limits, StandAlone, run_answer
from instructor.grading.sandbox import sandbox
from instructor.grading.sandbox.sandbox import open_sandbox

ROOT = Path(instructor.__file__).parent.parent


@pytest.fixture(scope="module", params=["warm", "cold"])
def box(need, request):
    need("bwrap", "apt-get install bubblewrap")
    with open_sandbox(1, kinds=[request.param]) as box:
        assert box.kind == request.param, box.detail
        yield box


def ask(box, body, **limits):
    source = "import os, socket, sys\ndef f():\n" + "".join(f"    {line}\n" for line in body)
    (result,) = run_answer(
        StandAlone(source), "f", [[]], launcher=box.launcher, limits=Limits(case_s=5, **limits)
    ).results
    return result


@pytest.mark.parametrize("place", ["instructor", "tests", "workbooks", ".git", "pyproject.toml"])
def test_answers_and_hand_ins_are_not_there(box, place):
    assert (ROOT / place).exists() or place == ".git"
    assert ask(box, [f"return os.path.exists({str(ROOT / place)!r})"]).value is False


def test_numpy_is_there(box):
    assert ask(box, ["import numpy", "return True"]).value is True


@pytest.mark.parametrize("place", ["checksum.py", "my_parts", "lookup", "headers", "exercises"])
def test_of_the_library_only_what_runs_answers_is_there(box, place):
    path = Path(course_lib.__file__).parent / place
    assert path.exists()
    assert ask(box, [f"return os.path.exists({str(path)!r})"]).value is False


def test_the_user_has_no_rights(box):
    assert ask(box, ["return os.getuid()"]).value == 65534


def test_what_one_answer_leaves_is_gone_for_the_next(box):
    look = ["before = sorted(os.listdir('.')), getattr(os, 'left', 0), sys.modules.get('left', 0)",
            "open('left', 'w').close()", "os.left = sys.modules['left'] = 1",
            "return before"]  # fmt: skip
    assert ask(box, look).value == ([], 0, 0)
    assert ask(box, look).value == ([], 0, 0)


def test_the_source_of_an_earlier_answer_is_not_in_memory(box):
    assert ask(box, ["return 'a rare word: ' + 'qrx' * 3"]).kind == "value"
    look = ["found = 0", "for line in open('/proc/self/maps'):",
            "    start, end = (int(part, 16) for part in line.split()[0].split('-'))",
            "    if line.split()[1].startswith('rw'):",
            "        with open('/proc/self/mem', 'rb', buffering=0) as file:",
            "            file.seek(start)",
            "            found += file.read(end - start).count(b'a rare ' + b'word: ')",
            "return found"]  # fmt: skip
    assert ask(box, look).value in (0, None)


def test_the_order_of_a_set_of_texts_is_the_same_today_and_tomorrow(box):
    body = ["return list({'a', 'b', 'c', 'd', 'e', 'f'})"]
    first = ask(box, body).value
    with open_sandbox(1, kinds=[box.kind]) as other:
        assert ask(other, body).value == first


def test_an_answer_that_kills_all_it_can_costs_nobody_else(box):
    ask(box, ["import signal", "os.kill(-1, signal.SIGKILL)"])
    assert ask(box, ["return 1"]).value == 1


def test_a_sandbox_goes_on_after_each_kind_of_end(box):
    ends = (["while True: pass"], ["os._exit(3)"], ["raise OSError"], ["os.closerange(0, 100)"],
            ["for _ in range(99): os.fork()"])  # fmt: skip
    for body in ends:
        source = "import os\ndef f():\n" + "".join(f"    {line}\n" for line in body)
        run_answer(StandAlone(source), "f", [[]], launcher=box.launcher, limits=Limits(case_s=0.3))
        assert ask(box, ["return 1"]).value == 1


def test_without_bubblewrap_it_says_how_to_get_it(monkeypatch):
    monkeypatch.setattr(sandbox.shutil, "which", lambda _: None)
    with open_sandbox() as box:
        assert not box.works
        assert "apt-get install bubblewrap" in box.detail


def test_where_no_sandbox_starts_it_says_why_and_what_to_do(monkeypatch, need):
    need("bwrap", "apt-get install bubblewrap")
    refusing = ["bwrap", "--no-such-option"]
    monkeypatch.setattr("instructor.grading.sandbox.warm_client.walls", lambda *_: refusing)
    monkeypatch.setattr(sandbox, "walls", lambda *_: refusing)
    with open_sandbox(1) as box:
        assert (box.kind, box.launcher) == ("none", None)
        assert "no-such-option" in box.detail
        assert "user namespaces" in box.detail


def test_without_a_warm_start_it_falls_back_to_a_fresh_sandbox_and_says_so(monkeypatch, need):
    need("bwrap", "apt-get install bubblewrap")
    monkeypatch.setattr("instructor.grading.sandbox.warm_client.walls", lambda *_: ["false"])
    with open_sandbox(1) as box:
        assert box.kind == "cold"
        assert "no warm start" in box.detail
        assert ask(box, ["return 1"]).value == 1
