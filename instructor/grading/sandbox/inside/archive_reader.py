"""Read an archive in which a stranger may have put anything. Runs inside the sandbox.

    python -m instructor.grading.sandbox.inside.archive_reader

Python's own `zipfile` and `tarfile` do the reading. They believe much of what an archive says
of itself; so they do it in here, where too much memory or time ends this process and nothing
else. Nothing is written to the disk. Needs nothing beyond the standard library.

On standard input comes a line of JSON that says the limits. Then this side speaks, in lines of
JSON, and `intake/archive_members.py` on the other side listens:

    ["read", PLACE, OCTETS]              a piece of the archive, please
    ["member", NAME, CHANGED, IS_FOLDER, PROBLEM]
    ["listed"]                           all members, that is; a line with numbers wanted, please
    ["content", NUMBER, OCTETS, PROBLEM] and so many octets behind the line
    ["refused", WHY]                     and no more

A piece of the archive comes as its length in eight octets, and then the octets.
"""

__all__ = [
    "A_LINK",
    "NAME_LIMIT",
    "NOT_A_FILE",
    "SIZE_LIMIT",
    "ArchiveError",
    "main",
    "too_large",
]

import contextlib
import importlib
import io
import json
import os
import stat
import tarfile
import zipfile
from collections.abc import Iterator
from itertools import pairwise
from typing import IO, Any, Literal, NamedTuple

SIZE_LIMIT = 50 << 20  # octets of one workbook
NAME_LIMIT = 1000  # characters of a member's name
MEMORY_OCTETS = 1 << 30  # of this process; a workbook and the largest dictionary need 200 MiB
PIECE = 1 << 17  # octets of the archive that are asked for at once
A_LINK = "a link, not a file"
NOT_A_FILE = "not a file: a folder, a pipe or a device"
LONG_NAME = f"its name is longer than {NAME_LIMIT:,} characters"
ENDS_EARLY = "damaged or cut, so nothing of it is used: get it once more"
UTF_8 = 1 << 11  # the flag that says what a name is written in (section 4.4.4)
HEADER_OCTETS = 30  # of each member of a .zip, at least (APPNOTE.TXT 6.3, section 4.3.7)
FOR_ONE = frozenset({"path", "size", "linkpath", "mtime"})  # what is said of one member of a .tar
ODD_KINDS = frozenset({stat.S_IFIFO, stat.S_IFCHR, stat.S_IFBLK, stat.S_IFSOCK, stat.S_IFDIR})
OS_LIMITS: Any = importlib.import_module("resource") if os.name == "posix" else None


class Found(NamedTuple):
    """One member; `changed` is the larger the newer, `octets` what it says that it holds."""

    name: str
    changed: int
    is_folder: bool
    octets: int
    problem: str


class ArchiveError(ValueError):
    """Nothing of an archive, or of one member, can be used; the text says why."""


def too_large(octets: int) -> str:
    """Say that one file is too large."""
    return f"too large: {octets >> 20} MiB, at most {SIZE_LIMIT >> 20}"


def main() -> None:
    """Read one archive, as long as somebody asks, and go."""
    line = _Line()
    given = line.receive()
    _limit_this_process(given["processor_s"])
    try:
        archive = _opened(io.BufferedReader(_Outside(line, given["size"]), PIECE), given)
        found = list(archive.members())
    except Exception as problem:
        line.send("refused", _in_words(problem))
    else:
        for one in map(_of_bearable_length, found):
            line.send("member", one.name, one.changed, one.is_folder, one.problem)
        line.send("listed")
        while wanted := line.receive():
            _send_contents(line, archive, found, wanted, given["octets"])
    line.flush()
    os._exit(0)


def _send_contents(
    line: "_Line", archive: "_Zip | _Tar", found: list[Found], wanted: list[int], most: int
) -> None:
    left = most
    for number in wanted:
        octets, problem = b"", ""
        left -= found[number].octets
        try:
            if left < 0:
                raise ArchiveError(f"the archive holds more than {most >> 20:,} MiB in all")
            octets = archive.content(number)
        except Exception as strange:
            problem = _in_words(strange)
        line.send("content", number, len(octets), problem, octets=octets)


def _in_words(problem: Exception) -> str:
    """Say in one line why something could not be read, whatever reading it has raised."""
    if isinstance(problem, ArchiveError):
        return str(problem)
    if isinstance(problem, MemoryError):
        return f"it takes more than {MEMORY_OCTETS >> 20:,} MiB of memory to read"
    words = ascii(str(problem) or type(problem).__name__)[1:-1][:200]
    return f"cannot be read: damaged, or of a kind that is not read here ({words})"


def _of_bearable_length(one: Found) -> Found:
    """Cut a name that is too long in the middle, and note it as a problem."""
    if len(one.name) <= NAME_LIMIT:
        return one
    half = NAME_LIMIT // 2
    return one._replace(name=f"{one.name[: half - 1]}…{one.name[-half:]}", problem=LONG_NAME)


def _limit_this_process(processor_s: int) -> None:
    """Limit what this process may use, where the system has limits at all; it writes no file."""
    if OS_LIMITS is not None:
        for kind, most in (
            (OS_LIMITS.RLIMIT_AS, MEMORY_OCTETS),
            (OS_LIMITS.RLIMIT_CPU, processor_s),
            (OS_LIMITS.RLIMIT_FSIZE, 0),
            (OS_LIMITS.RLIMIT_CORE, 0),
        ):
            OS_LIMITS.setrlimit(kind, (most, most))


def _opened(file: io.BufferedReader, given: dict[str, Any]) -> "_Zip | _Tar":
    """Open an archive of any kind that is read, told by its first octets."""
    head = file.read(512)
    file.seek(0)
    if head.startswith(b"\x1f\x8b"):
        return _Tar(file, "r:gz", given)
    if head[257:262] == b"ustar" or (given["tar"] and not head.startswith(b"PK")):
        return _Tar(file, "r:", given)
    return _Zip(file, given)  # which may have a program in front of it


class _Zip:
    def __init__(self, file: IO[bytes], given: dict[str, Any]) -> None:
        self._archive = zipfile.ZipFile(file)
        self._infos = self._archive.infolist()
        _refuse_too_many(len(self._infos), given["members"])

    def members(self) -> Iterator[Found]:
        self._refuse_overlaps()
        for info in self._infos:
            name = self._name(info)
            changed = int("{:04}{:02}{:02}{:02}{:02}{:02}".format(*info.date_time))
            is_folder = name.endswith(("/", "\\"))
            yield Found(name, changed, is_folder, info.file_size, self._problem(info))

    def content(self, number: int) -> bytes:
        """Return what a member holds; its checksum is looked at."""
        octets = self._archive.read(self._infos[number])
        if len(octets) != self._infos[number].file_size:
            raise ArchiveError("damaged: its size is wrong")
        return octets

    def _refuse_overlaps(self) -> None:
        """Refuse an archive in which the same octets are packed for several members."""
        spans = sorted((one.header_offset, one.compress_size) for one in self._infos)
        if any(
            start + HEADER_OCTETS + size > after for (start, size), (after, _) in pairwise(spans)
        ):
            raise ArchiveError("its members lie upon each other, as in no honest archive")

    def _name(self, info: zipfile.ZipInfo) -> str:
        """Return the whole name; some programs write UTF-8 without saying so."""
        if not info.flag_bits & UTF_8:
            with contextlib.suppress(UnicodeError):
                return info.orig_filename.encode("cp437").decode()
        return info.orig_filename

    def _problem(self, info: zipfile.ZipInfo) -> str:
        kind = stat.S_IFMT(info.external_attr >> 16)  # 0 where the system has no such kinds
        if kind == stat.S_IFLNK:
            return A_LINK
        if kind in ODD_KINDS:
            return NOT_A_FILE
        return too_large(info.file_size) if info.file_size > SIZE_LIMIT else ""


class _Tar:
    def __init__(self, file: IO[bytes], mode: Literal["r:", "r:gz"], given: dict[str, Any]) -> None:
        self._archive = tarfile.open(  # noqa: SIM115  # it ends with this process
            fileobj=file, mode=mode, encoding="utf-8", errors="surrogateescape"
        )
        self._given = given
        self._infos: list[tarfile.TarInfo] = []

    def members(self) -> Iterator[Found]:
        at = 0
        while (info := self._archive.next()) is not None:
            at, before = self._archive.offset, at
            self._refuse_too_much(at)
            if not FOR_ONE.isdisjoint(self._archive.pax_headers):
                raise ArchiveError("one name or size for all members, as in no honest archive")
            if info.size < 0 or at <= before:
                raise ArchiveError("damaged: a member has less than no octets")
            self._infos.append(info)
            _refuse_too_many(len(self._infos), self._given["members"])
            is_folder = info.isdir() or info.name.endswith("/")
            yield Found(info.name, self._changed(info), is_folder, info.size, self._problem(info))
        self._look_at_the_end()

    def content(self, number: int) -> bytes:
        """Return what a member holds."""
        file = self._archive.extractfile(self._infos[number])
        return file.read() if file else b""

    def _look_at_the_end(self) -> None:
        """Read what is left: `tarfile` takes a damaged header for the end, and we do not."""
        file = self._archive.fileobj
        assert file is not None
        file.seek(self._archive.offset)
        if file.read(tarfile.BLOCKSIZE) != bytes(tarfile.BLOCKSIZE):
            raise ArchiveError(ENDS_EARLY)
        while piece := file.read(PIECE):  # a gzip's checksum is looked at on the way
            self._refuse_too_much(file.tell())
            if piece.strip(b"\0"):
                raise ArchiveError("something follows its end: are these two archives in one?")

    def _refuse_too_much(self, octets: int) -> None:
        if octets > self._given["octets"]:
            most = f"{self._given['octets'] >> 20:,} MiB"
            raise ArchiveError(f"it unpacks to more than {most}: nothing was read")

    def _changed(self, info: tarfile.TarInfo) -> int:
        """Return the time in nanoseconds; 0 if it is no number that a clock could show."""
        try:
            return int(info.mtime * 1e9)
        except (ValueError, OverflowError):
            return 0

    def _problem(self, info: tarfile.TarInfo) -> str:
        if info.issym() or info.islnk():
            return A_LINK
        if not info.isreg():
            return NOT_A_FILE
        return too_large(info.size) if info.size > SIZE_LIMIT else ""


def _refuse_too_many(members: int, most: int) -> None:
    if members > most:
        raise ArchiveError(f"more than {most:,} members: nothing of it was read")


class _Line:
    """The line to the other side."""

    def __init__(self) -> None:
        self._in, self._out = os.fdopen(0, "rb"), os.fdopen(1, "wb")

    def send(self, *message: object, octets: bytes = b"") -> None:
        self._out.write(json.dumps(message).encode() + b"\n" + octets)

    def flush(self) -> None:
        self._out.flush()

    def receive(self) -> Any:
        """Return the next line that comes, None if nobody is there any more."""
        self.flush()
        return json.loads(self._in.readline() or "null")

    def receive_piece(self) -> bytes:
        self.flush()
        return self._in.read(int.from_bytes(self._in.read(8)))


class _Outside(io.RawIOBase):
    """The archive, which is not in here: each piece of it is asked for."""

    def __init__(self, line: _Line, size: int) -> None:
        self._line = line
        self._size = size
        self._at = 0

    def readable(self) -> bool:
        return True

    def seekable(self) -> bool:
        return True

    def seek(self, octets: int, whence: int = os.SEEK_SET) -> int:
        at = (0, self._at, self._size)[whence] + octets
        if at < 0:
            raise OSError("a place before its beginning")  # as of any file
        self._at = at
        return at

    def readinto(self, buffer: Any) -> int:
        self._line.send("read", self._at, min(len(buffer), PIECE))
        piece = self._line.receive_piece()
        buffer[: len(piece)] = piece
        self._at += len(piece)
        return len(piece)


if __name__ == "__main__":
    main()
