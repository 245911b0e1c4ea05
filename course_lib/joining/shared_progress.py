"""How far a student is, told to the room for its board: only if the student has said so.

What goes out is what `hopbyhop progress --share` copies: no times of the day, no hints, no name.
"""

__all__ = ["SharedProgress"]

from pathlib import Path

from course_lib.exercises.progress import ProgressFileError, load
from course_lib.joining.messages import EntryTold, Progress


class SharedProgress:
    """The progress file of a folder, looked at again and again."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._told: Progress | None = None

    def news(self) -> Progress | None:
        """Return what is to be told; None if that was told before, or cannot be read now."""
        try:
            entries = load(self._path)
        except (OSError, ProgressFileError):
            return None  # `mark` says so, where somebody can do something about it
        now = Progress(
            tuple(
                EntryTold(name, one.best, one.outcome, one.attempts, one.belief, one.minutes)
                for name, one in entries.items()
            )
        )
        if now == self._told:
            return None
        self._told = now
        return now

    def forget(self) -> None:
        """Tell it again: the room may have been started anew."""
        self._told = None
