"""What members of an archive are, and how they come out of the process that reads it.

Everything in an archive was chosen by a stranger. So another process reads it
(`sandbox/inside/archive_reader.py`), shut in as well as this machine can: in the sandbox, and
where there is none, in a plain process whose memory and processor time have limits. It gets no
file, only the pieces that it asks for. Nor is it believed here: what it says has a form, and a
length, and there is no more of it than the limits allow. `archives.py` says what is a hand-in.
"""

__all__ = [
    "CLASS_LIMITS",
    "STUDENT_LIMITS",
    "ArchiveLimits",
    "Content",
    "Member",
    "Reader",
    "archive_launcher",
    "opened",
    "start_reader_here",
]

import contextlib
import functools
import json
import sys
import tempfile
import threading
import zipfile
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Any, NamedTuple

from course_lib.runner.answer_process import Child, Launcher, RunnerError, Started
from instructor.grading.sandbox.inside import archive_reader
from instructor.grading.sandbox.inside.archive_reader import NAME_LIMIT, SIZE_LIMIT, ArchiveError
from instructor.grading.sandbox.sandbox import Job, open_sandbox

LINE_LIMIT = 1 << 16  # octets of one line of what the reader says
PIECE_LIMIT = 1 << 20  # octets of the archive that it gets at once
END_S = 1.0  # from the end of its line to its own
FORMS = {
    "read": [str, int, int], "member": [str, str, int, bool, str], "listed": [str],
    "content": [str, int, int, str], "refused": [str, str],
}  # fmt: skip
NOT_AGREED = "cannot be read: the process that read it did not keep to what was agreed"
PATIENCE = 5  # so many times its processor time may pass by the clock on the wall


class ArchiveLimits(NamedTuple):
    """Members that an archive may have, octets unpacked in all, and seconds of the processor."""

    members: int
    octets: int
    processor_s: int


CLASS_LIMITS = ArchiveLimits(50_000, 8 << 30, 3600)
STUDENT_LIMITS = ArchiveLimits(20_000, 256 << 20, 60)


class Member(NamedTuple):
    """One member: `name` as it stands there, `changed` the larger the newer, `problem` if any."""

    number: int
    name: str
    changed: int
    is_folder: bool = False
    problem: str = ""


class Content(NamedTuple):
    """What a member holds, or the problem in place of it."""

    number: int
    octets: bytes
    problem: str = ""


def start_reader_here() -> Started:
    """Start a reader as the user who asks, limited but in no sandbox."""
    return Child([sys.executable, "-I", "-S", archive_reader.__file__])


@contextlib.contextmanager
def archive_launcher() -> Iterator[Launcher]:
    """Yield what starts a reader; a sandbox is made when the first is started, if it can be."""
    with contextlib.ExitStack() as stack:

        @functools.cache
        def launcher() -> Launcher:
            job = Job(archive_reader.__name__, (), _problem_of)
            return stack.enter_context(open_sandbox(1, job=job)).launcher or start_reader_here

        yield lambda: launcher()()


@contextlib.contextmanager
def opened(archive: Path, limits: ArchiveLimits, launcher: Launcher) -> Iterator["Reader"]:
    """Have an archive read as long as the `with` block lasts; raises `ArchiveError` in words."""
    size = archive.stat().st_size
    if not size:
        raise ArchiveError("the file is empty")
    file = archive.open("rb")  # before anything is started: perhaps it may not be read
    try:
        process = launcher()
    except RunnerError as problem:
        file.close()
        raise ArchiveError(f"nothing could be started here to read it: {problem}") from problem
    clock = threading.Timer(PATIENCE * limits.processor_s, process.kill)
    clock.daemon = True
    clock.start()
    try:
        with file:
            reader = Reader(file, size, limits, process, clock)
            is_tar = archive.suffix.lower() == ".tar"
            reader.tell({"size": size, "tar": is_tar, **limits._asdict()})
            yield reader
    finally:
        clock.cancel()
        process.kill()
        process.wait()
        for stream in (process.requests, process.replies, process.prints):
            with contextlib.suppress(BrokenPipeError):  # what nobody has read any more
                stream.close()


@dataclass(frozen=True, slots=True)
class Reader:
    """An archive that another process reads; methods raise `ArchiveError`."""

    file: IO[bytes]
    size: int
    limits: ArchiveLimits
    process: Started
    clock: threading.Timer

    def members(self) -> tuple[Member, ...]:
        """Return all members, in order; to be called once, and first."""
        found: list[Member] = []
        while (said := self._next("member", "listed", "refused"))[0] == "member":
            member = Member(len(found), *said[1:])
            if len(member.name) > NAME_LIMIT or len(found) == self.limits.members:
                raise ArchiveError(NOT_AGREED)
            found.append(member._replace(problem=_one_line(member.problem)))
        if said[0] == "refused":
            raise ArchiveError(_one_line(said[1]))
        return tuple(found)

    def read(self, wanted: Collection[int]) -> Iterator[Content]:
        """Read the members of these numbers, in the order in which they lie there."""
        missing = set(wanted)
        if missing:
            self.tell(sorted(missing))
        left = self.limits.octets
        while missing:
            _, number, octets, problem = self._next("content")
            left -= octets
            if number not in missing or not 0 <= octets <= SIZE_LIMIT or left < 0:
                raise ArchiveError(NOT_AGREED)
            missing.remove(number)
            data = self.process.replies.read(octets)
            if len(data) < octets:
                raise self._end()
            yield Content(number, data, _one_line(problem))

    def tell(self, what: object) -> None:
        """Send a line."""
        self._send(json.dumps(what).encode() + b"\n")

    def _next(self, *kinds: str) -> list[Any]:
        """Return what the reader says next; until then it gets the pieces that it asks for."""
        while (said := self._said())[0] == "read":
            self.file.seek(max(0, min(said[1], self.size)))
            piece = self.file.read(max(0, min(said[2], PIECE_LIMIT)))
            self._send(len(piece).to_bytes(8) + piece)
        if said[0] not in kinds:
            raise ArchiveError(NOT_AGREED)
        return said

    def _said(self) -> list[Any]:
        line = self.process.replies.readline(LINE_LIMIT)
        if not line:
            raise self._end()
        try:
            said: list[Any] = json.loads(line)
            if FORMS[said[0]] == [*map(type, said)]:
                return said
        except (ValueError, LookupError, TypeError, RecursionError):
            pass  # as below
        raise ArchiveError(NOT_AGREED)

    def _send(self, octets: bytes) -> None:
        try:
            self.process.requests.write(octets)
            self.process.requests.flush()
        except BrokenPipeError:
            raise self._end() from None

    def _end(self) -> ArchiveError:
        """Say how the reader came to its end."""
        if not self.clock.is_alive():
            how = "took too long"
        elif not (how := self.process.wait(END_S) or ""):
            how = "closed its line"
        return ArchiveError(f"cannot be read: the process that read it {how}")


def _one_line(text: str) -> str:
    """Return what the reader said for people, if it is what people can be shown."""
    if len(text) > NAME_LIMIT or not (text.isprintable() or not text):
        raise ArchiveError(NOT_AGREED)
    return text


def _problem_of(launcher: Launcher) -> str:
    """Have an empty archive read; return why that does not work, or nothing."""
    with tempfile.NamedTemporaryFile(suffix=".zip") as file:
        zipfile.ZipFile(file, "w").close()
        file.flush()
        try:
            with opened(Path(file.name), STUDENT_LIMITS, launcher) as reader:
                reader.members()
        except (ArchiveError, RunnerError) as problem:
            return str(problem)
    return ""
