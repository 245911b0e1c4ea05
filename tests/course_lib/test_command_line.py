"""The command `hopbyhop` as a student has it."""

import json
import re
import sys
import tomllib

import pytest

from course_lib.cli import main
from course_lib.commands import check_machine as machine
from course_lib.commands import open_workbooks as opening
from course_lib.commands.check_machine import Finding, check_machine, report
from course_lib.exercises.progress import BUNDLE_MARK
from course_lib.runner import runner
from instructor.release.workbook_files import ROOT


def test_this_machine_is_ready_and_every_finding_says_how_to_mend_it():
    findings = check_machine()
    assert all(one.works for one in findings if one.required), report(findings)
    assert all(one.mend for one in findings if not one.works)


def test_all_packages_that_the_course_needs_are_looked_for():
    wanted = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]["dependencies"]
    names = {re.match(r"[\w.-]+", one)[0].replace("_", "-") for one in wanted}
    looked_for = {one.what.replace("_", "-") for one in check_machine()}
    assert {"numba", "anywidget"} < names == looked_for & names


def test_a_limit_that_the_system_lacks_is_said_and_is_no_fault(monkeypatch):
    monkeypatch.setattr(runner, "limits_lacking", lambda: ["memory"])
    marking = next(one for one in check_machine() if one.what == "marking")
    assert marking.works
    assert "this system does not limit its memory" in marking.seen


def test_what_is_missing_is_said_with_its_cure():
    findings = [
        Finding("Python", True, "3.11.7"),
        Finding("numpy", False, "not installed", "pip install numpy"),
        Finding("a sandbox", False, "absent", "get one", needed_for="to grade"),
    ]
    text = report(findings)
    assert "MISSING  numpy" in text
    assert "to mend it: pip install numpy" in text
    assert "(needed to grade)" in text
    assert "1 thing(s)" in text


@pytest.mark.parametrize(
    ("name", "fault"),
    [
        ("jupyterlab", lambda patch: patch(machine, "_needed_packages", lambda: ["no-such"])),
        ("browser", lambda patch: patch(machine.shutil, "which", lambda _: None)),
        ("disk space", lambda patch: patch(machine, "DISK_MIB", 1 << 40)),
    ],
)
def test_planted_faults_of_a_machine_are_found(name, fault, monkeypatch):
    fault(monkeypatch.setattr)
    assert any(not one.works and one.mend for one in check_machine())


def test_progress_is_shown_over_all_units(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / BUNDLE_MARK).touch()
    entry = {"best": 2.0, "outcome": "right", "attempts": 3, "hints": 1}
    (tmp_path / "progress.json").write_text(json.dumps({"1.1": entry}))
    assert main(["progress"]) == 0
    said = capsys.readouterr().out
    assert "2/2" in said
    assert "02-checksums" in said


def test_open_finds_the_bundle_from_inside_it(tmp_path):
    (tmp_path / BUNDLE_MARK).touch()
    inner = tmp_path / "workbooks"
    inner.mkdir()
    assert opening.workbooks_folder(inner) == tmp_path


def test_open_copies_masters_once_and_never_over_a_student_s_work(tmp_path):
    masters = tmp_path / "workbooks"
    (masters / "01-x").mkdir(parents=True)
    (masters / "01-x" / "01-x.ipynb").write_text("master")
    target = opening._copy_once(masters, tmp_path / "mine")
    copy = target / "workbooks" / "01-x" / "01-x.ipynb"
    assert copy.read_text() == "master"
    copy.write_text("my work")
    opening._copy_once(masters, tmp_path / "mine")
    assert copy.read_text() == "my work"


def test_open_starts_jupyterlab_on_the_folder(tmp_path, monkeypatch):
    started = []
    monkeypatch.setattr(opening.subprocess, "call", lambda command: started.append(command) or 0)
    assert main(["open", str(tmp_path), "--no-browser"]) == 0
    assert "--LabApp.default_url=/hop-by-hop" in started[0]
    assert started[0][:3] == [sys.executable, "-m", "jupyterlab"]
    assert f"--ServerApp.root_dir={tmp_path}" in started[0]


@pytest.mark.parametrize("account", [0, 1000])
def test_open_lets_root_in_and_says_what_that_means(account, tmp_path, monkeypatch, capsys):
    started = []
    monkeypatch.setattr(opening.subprocess, "call", lambda command: started.append(command) or 0)
    monkeypatch.setattr(opening.os, "geteuid", lambda: account, raising=False)
    assert main(["open", str(tmp_path)]) == 0
    assert ("--allow-root" in started[0]) == (account == 0)
    assert ("You are root here" in capsys.readouterr().out) == (account == 0)


@pytest.mark.parametrize("arguments", [[], ["no-such-command"]])
def test_a_wrong_command_lists_those_there_are(arguments, capsys):
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert "COMMAND" in capsys.readouterr().err
