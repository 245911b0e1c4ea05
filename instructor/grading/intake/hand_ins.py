"""What was handed in, as all of grading passes it on: a workbook of somebody, or why there is none.

`path` is a file's name for the record, and no two have the same. In an archive it is
`ARCHIVE/MEMBER`, which is no path of the system's; there `where` says it to people.
"""

__all__ = ["QUESTION_SHEETS", "Attempts", "HandIn", "Intake", "NotGraded"]

from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from instructor.grading.intake.notebook_reader import Notebook

Attempts = Literal["last", "best"]
# Handed in like workbooks, and no part of any unit: nothing in them is graded.
QUESTION_SHEETS = ("questions-before", "questions-after", "exit-survey")


@dataclass(frozen=True, slots=True)
class HandIn:
    """One readable workbook of one student; `notes` say what was unusual about the file.

    `handed_in` is the time stamp that the gradebook's tools put beside what they collect,
    as it stands there, or that of the table (see `handed_in`); '' if there is none, and `time_from`
    says which of the two it is. `changed`
    is the larger the newer: the file's time in nanoseconds (0 for a whole class's archive), and
    the member's. `own_code` is the personal code of the student's id, whatever the workbook says.
    `is_earlier` tells that its workbook came with an earlier release to this class.
    """

    student: str
    unit: str
    path: Path
    notebook: Notebook
    notes: tuple[str, ...] = ()
    handed_in: str = ""
    changed: tuple[int, int] = (0, 0)
    where: str = ""
    own_code: str = ""
    is_earlier: bool = False
    time_from: str = ""

    @property
    def shown(self) -> str:
        """Return what people call this file."""
        return self.where or self.path.name


@dataclass(frozen=True, slots=True)
class NotGraded:
    """A file that nobody could grade, and why; `student` and `unit` where known."""

    path: Path
    why: str
    student: str = ""
    unit: str = ""
    where: str = ""

    @property
    def shown(self) -> str:
        """Return what people call this file."""
        return self.where or self.path.name


@dataclass(frozen=True, slots=True)
class Intake:
    """All hand-ins, all files that are none, and how many times of handing in a table gave.

    `beside` are files that are no hand-ins and need not be: no file is passed over in silence.
    """

    hand_ins: tuple[HandIn, ...]
    not_graded: tuple[NotGraded, ...] = ()
    times: int = 0
    beside: tuple[NotGraded, ...] = ()
