"""`python3 -m instructor ...`: from a bare machine to a running command."""

from contextlib import nullcontext
from functools import partial

import pytest

from instructor import __main__ as set_up


@pytest.fixture
def calls(monkeypatch, tmp_path):
    """Record every program that would be started, and start none."""
    seen = []
    monkeypatch.setattr(set_up, "PYTHON", tmp_path / "bin" / "python")
    monkeypatch.setattr(set_up.venv, "create", lambda *_, **__: seen.append("environment"))

    def start(command, *_, **__):
        seen.append(" ".join(command))
        return 0

    monkeypatch.setattr(set_up.subprocess, "call", start)
    monkeypatch.setattr(set_up, "run_to_the_end", start)
    monkeypatch.setattr(set_up, "beside", lambda command, _: nullcontext(partial(start, command)))
    return seen


def test_it_makes_an_environment_installs_and_hands_over(calls):
    assert set_up.main(["demo", "--seed", "3"]) == 0
    assert calls[0] == "environment"
    assert "pip install" in calls[1]
    assert calls[1].endswith("[instructor]")
    assert calls[2].endswith("course_lib.cli demo --seed 3")


def test_the_tests_run_behind_style_and_types(calls):
    assert set_up.main(["test"]) == 0
    assert calls[1].endswith("[instructor,test]")
    checks = [call.partition(" -m ")[2].split()[:1] for call in calls[2:]]
    assert checks == [["ruff"], ["ruff"], ["mypy"], [], ["pytest"]]
    assert calls[-2].endswith(set_up.COMPILE)  # beside mypy: what it compiles is found
    assert (set_up.ROOT / set_up.COMPILE).is_file()


def test_some_tests_alone_are_collected_once(calls):
    assert set_up.main(["test", "tests/standards"]) == 0
    assert [call.split(" -m ")[1] for call in calls if " -m pytest" in call] == [
        "pytest tests/standards"
    ]


def test_one_failed_check_fails_the_whole_but_stops_nothing(calls, monkeypatch, capsys):
    monkeypatch.setattr(
        set_up, "run_to_the_end", lambda command, _: calls.append(command) or "mypy" in command
    )
    assert set_up.main(["test"]) == 1
    assert calls[-1][2] == "pytest"
    assert "Not passed: mypy" in capsys.readouterr().out


def test_an_administrator_s_run_adds_what_debian_leaves_out(calls, monkeypatch):
    answers = iter([False, True])
    monkeypatch.setattr(set_up, "_can_make_environments", lambda: next(answers))
    monkeypatch.setattr(set_up.os, "geteuid", lambda: 0)
    monkeypatch.setattr(set_up.shutil, "which", lambda name: f"/usr/bin/{name}")
    assert set_up.main(["demo"]) == 0
    assert calls[1] == "apt-get install -y -qq python3-venv"


def test_anybody_else_is_told_what_to_install(calls, monkeypatch, capsys):
    monkeypatch.setattr(set_up, "_can_make_environments", lambda: False)
    monkeypatch.setattr(set_up.os, "geteuid", lambda: 1000)
    assert set_up.main(["demo"]) == 1
    assert calls == []
    assert "apt-get install python3-venv" in capsys.readouterr().out


def test_another_python_is_refused_with_the_ones_that_work(monkeypatch, capsys):
    monkeypatch.setattr(set_up.sys, "version_info", (3, 9, 2))
    assert set_up.main(["demo"]) == 1
    assert "3.11, 3.12 or 3.13" in capsys.readouterr().out
