"""The two steps of nbgrader's exchange that must know whose a hand-in is.

Its folder for hand-ins is open to the whole class, and a hand-in's name and time stamp
are what its sender wrote on it. nbgrader warns where the name and the owner of the files
differ, and collects all the same; it follows links, with the staff's rights. Here a
hand-in is taken only from the account whose name it bears, and links are not followed.

Feedback goes to where only the sender can find it, under a secret that came with the
hand-in. `hopbyhop grade` keeps no secrets, so they are looked up among what was
collected; and feedback on an older hand-in never goes out in place of the newest.
"""

__all__ = ["OwnersCollect", "OwnersFeedback"]

import datetime
import fnmatch
import pwd
import re
import shutil
from pathlib import Path
from typing import Any

from nbgrader.api import Gradebook, MissingEntry
from nbgrader.exchange import ExchangeError
from nbgrader.exchange.default import ExchangeCollect, ExchangeReleaseFeedback
from nbgrader.utils import parse_utc

from course_lib.exercises.whole_file import write_whole
from instructor.hub.owned_files import NotTheirsError, copy_owned
from instructor.output.text import visible

SET_ASIDE = "+"  # no account's name
STAMP, SECRET = "timestamp.txt", "submission_secret.txt"
ELSEWHERE = re.compile(r'<script[^>]*\ssrc="https?:[^>]*>\s*</script>')  # typesets formulas
SETTINGS = ("*_config.py", "*_config.json")  # read, and run, where somebody types a command
UNREADABLE = (ExchangeError, ValueError, LookupError, OSError, OverflowError)
SLACK = datetime.timedelta(minutes=10)  # between the stamp and the last file of a slow copy


class OwnersCollect(ExchangeCollect):  # type: ignore[misc]  # nbgrader has no types
    """Collect what the students themselves handed in; say at the end what was not taken."""

    src_records: list[dict[str, Any]]

    def start(self) -> Any:
        """Collect, then repeat in one place all that needs a look."""
        self._doubts: list[str] = []
        done = super().start()
        for doubt in self._doubts:
            self.log.warning("LOOK: %s", visible(doubt))
        return done

    def init_src(self) -> None:
        """Find the hand-ins; those with a wrong owner never stand for anybody."""
        super().init_src()
        self.src_records = [one for one in self.src_records if one["username"] != SET_ASIDE]

    def _path_to_record(self, path: str) -> dict[str, Any]:
        try:
            record: dict[str, Any] = super()._path_to_record(path)
            owner = pwd.getpwuid(Path(path).lstat().st_uid).pw_name
        except UNREADABLE as problem:
            return self._aside(path, f"cannot be read ({problem})")
        if owner != record["username"]:
            return self._aside(path, f"bears the name {record['username']}, but {owner} wrote it")
        return record

    def _aside(self, path: str, why: str) -> dict[str, Any]:
        self._doubts.append(f"not collected: {path} {why}")
        never = datetime.datetime.min
        return {"username": SET_ASIDE, "filename": Path(path).name, "timestamp": never}

    def do_copy(self, src: str, dest: str, log: Any = None) -> None:
        """Copy one hand-in; its time stamp is the one by which it was chosen."""
        student, stamp = (Path(src).name.rsplit("+", 3)[place] for place in (0, 2))
        try:
            copied = copy_owned(
                Path(src), Path(dest), pwd.getpwnam(student).pw_uid,
                skip=self._is_ignored, most_octets=1000 * self.coursedir.max_dir_size,
            )  # fmt: skip
        except NotTheirsError as problem:
            self._doubts.append(f"not collected: {src}: {problem}")
            return
        (Path(dest) / STAMP).write_text(stamp, encoding="utf-8")
        self._doubts += [f"left out of the hand-in of {student}: {one}" for one in copied.left_out]
        changed = datetime.datetime.fromtimestamp(copied.changed, datetime.UTC).replace(tzinfo=None)
        if changed - parse_utc(stamp) > SLACK:
            self._doubts.append(
                f"the hand-in of {student} is stamped {stamp}, but a file in it was changed at"
                f" {changed:%Y-%m-%d %H:%M} UTC. If nobody else touched it, it is as late as that."
            )

    def _is_ignored(self, name: str) -> bool:
        patterns = (STAMP, *SETTINGS, *self.coursedir.ignore)
        return any(fnmatch.fnmatch(name, one) for one in patterns)


class OwnersFeedback(ExchangeReleaseFeedback):  # type: ignore[misc]  # nbgrader has no types
    """Release the pages of those whose newest hand-in is the one that was graded."""

    def copy_files(self) -> None:
        """Make each page ready, then release; leave out who must not get theirs, and say why."""
        left_out = [one for one in self.coursedir.student_id_exclude.split(",") if one]
        pages = Path("/").glob(f"{self.src_path.lstrip('/')}/*.html")
        for folder in sorted({page.parent for page in pages}):
            student = folder.parent.name
            if why := self._why_not(student, folder):
                self.log.warning("LOOK: no feedback for %s: %s", visible(student), why)
                left_out.append(student)
            else:
                self._make_ready(student, folder)
        self.coursedir.student_id_exclude = ",".join(left_out)
        super().copy_files()

    def _why_not(self, student: str, folder: Path) -> str:
        collected = self._folder_of(self.coursedir.submitted_directory, student)
        marked = self._folder_of(self.coursedir.autograded_directory, student)
        if not all((collected / name).is_file() for name in (STAMP, SECRET)):
            return "it was not handed in by the exchange"
        if self._graded(student) != parse_utc((collected / STAMP).read_text(encoding="utf-8")):
            return "its newest hand-in is not graded yet: grade, then `generate_feedback --force`"
        if _newest(marked, "*.ipynb") > _newest(folder, "*.html"):
            return "graded again since the page was made: `generate_feedback --force`"
        return ""

    def _make_ready(self, student: str, folder: Path) -> None:
        """Put the secret beside the pages; let them fetch nothing from elsewhere, and be read."""
        for page in folder.glob("*.html"):
            text = page.read_text(encoding="utf-8")
            write_whole(page, ELSEWHERE.sub("", text))
            page.chmod(0o644)  # whatever the umask: the student must be able to read it
        for name in (STAMP, SECRET):
            shutil.copy(
                self._folder_of(self.coursedir.submitted_directory, student) / name, folder / name
            )

    def _folder_of(self, step: str, student: str) -> Path:
        return Path(self.coursedir.format_path(step, student, self.coursedir.assignment_id))

    def _graded(self, student: str) -> datetime.datetime | None:
        """Return the time stamp of the hand-in that the gradebook holds."""
        with Gradebook(self.coursedir.db_url, self.coursedir.course_id) as book:
            try:
                stamp: datetime.datetime | None = book.find_submission(
                    self.coursedir.assignment_id, student
                ).timestamp
            except MissingEntry:
                return None
        return stamp


def _newest(folder: Path, pattern: str) -> float:
    """Return when the newest file was written, or 0."""
    return max((path.stat().st_mtime for path in folder.glob(pattern)), default=0.0)
