"""What was found about the limits of a sandbox, kept until the machine starts anew.

To try how much an answer may use takes seconds, and nothing of it keeps anything out. So it is
tried once for each start of the machine, kernel, user, and version of the sandbox and of Python.
"""

__all__ = ["keep_limits", "known_limits"]

import contextlib
import json
import os
import platform
import sys
from collections.abc import Sequence
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.grading.sandbox.probe import Wall
from instructor.grading.sandbox.sandbox import Kind
from instructor.source_files import source_digest

MADE_FROM = ("course_lib/runner/*.py", "instructor/grading/sandbox/**/*.py")
START = Path("/proc/sys/kernel/random/boot_id")  # proc(5): another one after each start


def known_limits(path: Path, kind: Kind) -> tuple[Wall, ...]:
    """Return the limits as they were found here before; none if that is not known any more."""
    try:
        kept = json.loads(path.read_text(encoding="utf-8"))
        if kept["found_on"] == _here(kind):
            return tuple(
                Wall(name, held, detail, keeps_out=False) for name, held, detail in kept["limits"]
            )
    except (OSError, ValueError, KeyError, TypeError):
        pass  # tried again, then
    return ()


def keep_limits(path: Path, kind: Kind, limits: Sequence[Wall]) -> None:
    """Keep what was found here; where there is no room for it, it is tried again next time."""
    found = [[one.name, one.held, one.detail] for one in limits]
    with contextlib.suppress(OSError):
        write_whole(path, json.dumps({"found_on": _here(kind), "limits": found}), 0o600)


def _here(kind: Kind) -> list[str]:
    start = START.read_text(encoding="ascii").strip() if START.exists() else ""
    user = str(os.getuid()) if hasattr(os, "getuid") else ""
    return [start, platform.release(), user, kind, sys.version, source_digest(MADE_FROM)]
