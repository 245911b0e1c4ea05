"""The reports of many machines as one table: who is not ready, and the line that mends it.

Reports come from students' machines: they are read as data, within bounds, and a file that is no
report is a row that says so. So is whoever is expected, and of whom there is no report.
"""

__all__ = ["COLUMNS", "Machine", "read_machines", "write_machines"]

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from course_lib.commands.machine_report import MADE_BY
from instructor.output.tables import write_table

LARGEST = 1 << 18  # octets; a report has about 4,000
LONGEST = 300  # characters of a line that are kept
COLUMNS = ("machine", "ready", "system", "python", "missing", "mend")
INSTALL = "pip install "
REPORT = "hopbyhop check-machine --report"


class Machine(NamedTuple):
    """One machine in the columns of the table; its name is the file's."""

    machine: str
    ready: str
    system: str = ""
    python: str = ""
    missing: str = ""
    mend: str = ""


def read_machines(folder: Path, expected: Iterable[str] = ()) -> tuple[Machine, ...]:
    """Read every report in a folder; those that are not ready come first, then by name.

    `expected` are names of reports: who has sent none is not ready either.
    """
    found = [_read(path) for path in sorted(folder.glob("*.json"))]
    there = {one.machine for one in found}
    found += [
        Machine(name, "no report", mend=f"{REPORT} {name}.json") for name in expected
        if name not in there
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.ready == "yes", one.machine)))


def write_machines(path: Path, machines: Iterable[Machine]) -> None:
    """Write the table; what a spreadsheet would run is made harmless."""
    write_table(path, COLUMNS, machines)


def _read(path: Path) -> Machine:
    try:
        if path.stat().st_size > LARGEST:
            raise ValueError("it is too large for a report")
        told = json.loads(path.read_text(encoding="utf-8"))
        if told["made_by"] != MADE_BY:
            raise ValueError("it is no report of `check-machine`")
        lacking = [one for one in told["findings"] if one["required"] and not one["works"]]
        return Machine(
            path.stem, "no" if lacking else "yes", _line(told["system"]), _line(told["python"]),
            _line(", ".join(str(one["what"]) for one in lacking)), _mend(lacking),
        )  # fmt: skip
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as problem:
        why = problem if type(problem) is ValueError else "it is no report of `check-machine`"
        return Machine(path.stem, "not known", mend=f"{why}: run {REPORT}")


def _mend(lacking: Sequence[Mapping[str, Any]]) -> str:
    """Return one line: all packages that are missing together, else what comes first."""
    lines = [_line(one["mend"]) for one in lacking]
    if lines and lines[0].startswith(INSTALL) and "--" not in lines[0]:
        packages = [line.removeprefix(INSTALL) for line in lines if line.startswith(INSTALL)]
        return _line(INSTALL + " ".join(one for one in packages if "--" not in one))
    return lines[0] if lines else ""


def _line(text: object) -> str:
    return " ".join(str(text).split())[:LONGEST]
