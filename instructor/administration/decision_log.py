"""Every decision that was confirmed, in `decisions.csv` of the course folder: added to, never cut.

| column | holds |
|---|---|
| `at`, `by` | when (UTC), and the account that confirmed it |
| `what`, `student`, `unit` | what was decided, and about whom and what; empty for all |
| `before`, `after` | how it was, and how it is |
| `why` | the words that were given |
| `points` | whose points it changed, by how much |
"""

__all__ = ["DECISIONS_FILE", "note_decisions"]

import getpass
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path

from instructor.deadlines.rule_changes import RuleChange
from instructor.output.tables import write_table
from instructor.roster.typed_table import read_table

DECISIONS_FILE = "decisions.csv"
COLUMNS = ("at", "by", *RuleChange._fields, "points")
STAFF_ALONE = 0o600


def note_decisions(course: Path, decisions: Iterable[RuleChange], points: str) -> None:
    """Add decisions that were confirmed together; `points` says whose points they change."""
    path = course / DECISIONS_FILE
    before = read_table(path, COLUMNS) if path.exists() else []
    at, by = datetime.now(UTC).isoformat(timespec="seconds"), getpass.getuser()
    rows = [[row.cells[name] for name in COLUMNS] for row in before]
    rows += [[at, by, *one, points] for one in decisions]
    write_table(path, COLUMNS, rows, mode=STAFF_ALONE)
