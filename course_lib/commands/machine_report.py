"""What `check-machine` found, as a file that somebody else can gather.

It holds the system's name and version, that of Python, and the findings; no name of a person or
machine is asked for. What a finding has seen may hold the path of a folder.
"""

__all__ = ["MADE_BY", "write_report"]

import dataclasses
import json
import platform
from collections.abc import Sequence
from pathlib import Path

from course_lib.commands.check_machine import Finding
from course_lib.exercises.whole_file import write_whole

MADE_BY = "hopbyhop check-machine"


def write_report(path: Path, findings: Sequence[Finding]) -> None:
    """Write the findings as JSON; raise `OSError` if that cannot be done."""
    told = {
        "made_by": MADE_BY,
        "system": f"{platform.system()} {platform.release()} {platform.machine()}",
        "python": platform.python_version(),
        "findings": [
            {**dataclasses.asdict(one), "required": one.required} for one in findings
        ],
    }  # fmt: skip
    write_whole(path, json.dumps(told, indent=1) + "\n")
