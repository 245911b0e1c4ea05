"""In the sandbox an answer sees the run-time and nothing of the grader's."""

from pathlib import Path

import pytest

import instructor
from course_lib.exercises.answer_source import StandAlone
from course_lib.exercises.runner import Limits, run_answer
from instructor.grading import sandbox

ROOT = Path(instructor.__file__).parent.parent


@pytest.fixture(scope="module")
def launcher(need):
    need("bwrap", "apt-get install bubblewrap")
    assert sandbox.probe().works
    return sandbox.launcher()


def ask(launcher, body):
    source = "import os, socket, sys\ndef f():\n" + "".join(f"    {line}\n" for line in body)
    (result,) = run_answer(
        StandAlone(source), "f", [[]], launcher=launcher, limits=Limits(case_s=3)
    ).results
    return result


@pytest.mark.parametrize("place", ["instructor", "tests", "workbooks", ".git", "pyproject.toml"])
def test_answers_and_hand_ins_are_not_there(launcher, place):
    assert (ROOT / place).exists() or place == ".git"
    assert ask(launcher, [f"return os.path.exists({str(ROOT / place)!r})"]).value is False


def test_the_library_and_numpy_are_there(launcher):
    assert ask(launcher, ["import numpy, course_lib.headers", "return True"]).value is True


def test_there_is_no_network(launcher):
    body = ["s = socket.socket()", "s.settimeout(1)", "s.connect(('127.0.0.1', 9))"]
    assert ask(launcher, body).problem.kinds[-3:] == ("Exception", "BaseException", "object")


def test_the_system_cannot_be_written_to(launcher):
    result = ask(launcher, [f"open({str(Path(sandbox.course_lib.__file__))!r}, 'w')"])
    assert result.problem.kind in ("OSError", "PermissionError")


def test_other_processes_are_out_of_sight(launcher):
    result = ask(launcher, ["return len([n for n in os.listdir('/proc') if n.isdigit()])"])
    assert result.value <= 3


def test_the_user_has_no_rights(launcher):
    assert ask(launcher, ["return os.getuid()"]).value == 65534


def test_without_bubblewrap_the_report_says_how_to_get_it(monkeypatch):
    monkeypatch.setattr(sandbox.shutil, "which", lambda _: None)
    report = sandbox.probe()
    assert not report.works
    assert "apt-get install bubblewrap" in report.detail
