"""What members tell of their progress, as files for `hopbyhop board`: one for each pier, no name.

They lie in the folder that whoever teaches has named, and go when the room ends.
"""

__all__ = ["BoardFiles"]

import json
from dataclasses import asdict
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from course_lib.joining.messages import Progress


class BoardFiles:
    """The files of one room; `instructor.room.progress_files` reads them, field by field."""

    def __init__(self, folder: Path) -> None:
        """Take a folder that is there."""
        self._folder = folder
        self._written: set[Path] = set()

    def take(self, pier: int, told: Progress) -> None:
        """Write what somebody has told."""
        rows = map(asdict, told.entries)
        path = self._folder / f"pier-{pier + 1}.json"
        write_whole(path, json.dumps({row.pop("exercise"): row for row in rows}, indent=1), 0o600)
        self._written.add(path)

    def delete(self) -> None:
        """Delete what was written."""
        for path in self._written:
            path.unlink(missing_ok=True)
