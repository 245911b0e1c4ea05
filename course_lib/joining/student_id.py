"""By what the room knows a student again: 128 bits drawn by lot, in a file beside the workbooks.

It says nothing of whose it is. It makes that a laptop that wakes, or a notebook that was started
anew, gets its pier back.
"""

__all__ = ["student_id"]

import re
import secrets
from pathlib import Path

from course_lib.exercises.progress import STUDENT_ALONE, progress_file
from course_lib.exercises.whole_file import write_whole

FILE_NAME = "room-id.txt"
_SHAPE = re.compile(r"[0-9a-f]{32}")


def student_id(start: Path | None = None) -> str:
    """Return the number of this folder; it is drawn when nobody has one yet."""
    path = progress_file(start).with_name(FILE_NAME)
    if path.is_file() and _SHAPE.fullmatch(kept := path.read_text(encoding="utf-8").strip()):
        return kept
    drawn = secrets.token_hex(16)
    write_whole(path, f"{drawn}\n", STUDENT_ALONE)
    return drawn
