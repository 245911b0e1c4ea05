"""Reports of machines as one table: who is not ready, and one line that mends it."""

import csv
import json

import pytest

from course_lib.cli import main
from course_lib.commands import check_machine as checks
from course_lib.commands.check_machine import Finding
from course_lib.commands.machine_report import write_report
from instructor.room.machine_reports import COLUMNS, read_machines

FINE = Finding("Python", True, "3.12.1", "install Python 3.11, 3.12 or 3.13")
NUMBA = Finding("numba", False, "not installed", "pip install numba")
NUMPY = Finding("numpy", False, "not installed", "pip install numpy")
PORT = Finding("a local port", False, "no", "ask who looks after this machine")
SANDBOX = Finding("a sandbox", False, "no", "apt-get install bubblewrap", "to grade a class")

MACHINES = {
    "ready": ([FINE, SANDBOX], "yes", "", ""),
    "packages": ([FINE, NUMBA, NUMPY, PORT], "no", "numba, numpy, a local port",
                 "pip install numba numpy"),
    "port": ([FINE, PORT], "no", "a local port", "ask who looks after this machine"),
}  # fmt: skip


@pytest.mark.parametrize(("findings", "ready", "missing", "mend"), MACHINES.values(), ids=MACHINES)
def test_a_machine_has_a_row_with_one_line_that_mends_it(findings, ready, missing, mend, tmp_path):
    write_report(tmp_path / "table-3.json", findings)
    (one,) = read_machines(tmp_path)
    assert (one.machine, one.ready, one.missing, one.mend) == ("table-3", ready, missing, mend)
    assert one.python.startswith("3.")


STRANGE = {
    "empty": b"", "no text": b"\xff\xfe", "a list": b"[]", "deep": b"[" * 100_000,
    "another file": b'{"made_by": "somebody"}', "large": b" " * (1 << 19),
    "half": b'{"made_by": "hopbyhop check-machine", "system": 1, "python": [], "findings": [{}]}',
    "wrong": b'{"made_by": "hopbyhop check-machine", "findings": 5}',
}  # fmt: skip


@pytest.mark.parametrize("octets", STRANGE.values(), ids=STRANGE)
def test_what_is_no_report_is_a_row_that_says_so(octets, tmp_path):
    (tmp_path / "one.json").write_bytes(octets)
    (one,) = read_machines(tmp_path)
    assert one.ready == "not known"
    assert "check-machine --report" in one.mend


def test_reports_are_written_gathered_and_put_in_order(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(checks, "check_machine", lambda: [FINE, NUMBA])
    assert main(["check-machine", "--report", str(tmp_path / "b.json")]) == 1
    monkeypatch.setattr(checks, "check_machine", lambda: [FINE])
    assert main(["check-machine", "--report", str(tmp_path / "a.json")]) == 0
    hostile = [Finding("=1+1", False, "", "\u202e[bold]=cmd[/bold]")]
    write_report(tmp_path / "c.json", hostile)
    capsys.readouterr()
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["machines", str(tmp_path)]) == 1
    said = capsys.readouterr().out
    assert "1 of 3 machines are ready." in said
    assert "[U+202E][bold]" in said
    assert max(map(len, said.splitlines()[:8])) <= 80
    with (tmp_path / "machines.csv").open(newline="") as table:
        rows = list(csv.DictReader(table))
    assert tuple(rows[0]) == COLUMNS
    assert [row["machine"] for row in rows] == ["b", "c", "a"]
    assert rows[1]["missing"] == "'=1+1"
    assert main(["machines", str(tmp_path / "nowhere")]) == 1
    (tmp_path / "none").mkdir()
    assert main(["machines", str(tmp_path / "none")]) == 1


def test_of_whom_no_report_came_is_a_row_as_well(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("COLUMNS", "80")
    write_report(tmp_path / "alder.json", [FINE])
    (tmp_path / "class.txt").write_text("alder\nbirch\n")
    assert main(["machines", str(tmp_path), "--roster", str(tmp_path / "class.txt")]) == 1
    said = " ".join(capsys.readouterr().out.split())
    assert "birch no report" in said
    assert "--report birch.json" in said
    assert "1 of 2 machines are ready." in said
    assert main(["machines", str(tmp_path), "--roster", str(tmp_path / "none.txt")]) == 1


def test_a_report_that_cannot_be_written_is_said(tmp_path, monkeypatch, capsys):
    monkeypatch.setattr(checks, "check_machine", lambda: [FINE])
    assert main(["check-machine", "--report", str(tmp_path / "no" / "b.json")]) == 1
    assert "--report" in capsys.readouterr().err


def test_a_report_names_no_machine_and_no_person(tmp_path):
    write_report(tmp_path / "a.json", [FINE])
    assert set(json.loads((tmp_path / "a.json").read_text())) == {
        "made_by", "system", "python", "findings",
    }  # fmt: skip
