"""Read the members of a .tar or .tar.gz in memory, within limits, in one direction.

Python's `tarfile` reads each header; the way from one to the next is gone here. (Its own
reads a header of any length at once, and looks for fields in a way that takes the square of
that length.) No member has a checksum of its own: if an archive ends too early or the checksum
of the packed whole is wrong, nothing of it is used.

Source: POSIX.1-2017, pax, sections "ustar Interchange Format" and "pax Extended Header"; GNU
tar's manual, "Basic Tar Format", for long names and files with holes.
"""

__all__ = ["TarReader"]

import contextlib
import gzip
import tarfile
from collections.abc import Collection, Iterator, Mapping
from typing import IO, NamedTuple

from instructor.grading.intake.archive_members import (
    A_LINK,
    NOT_A_FILE,
    SIZE_LIMIT,
    ArchiveError,
    Content,
    Limits,
    Member,
    damage_in_words,
    of_bearable_length,
    too_large,
    too_many,
)

BLOCK = tarfile.BLOCKSIZE
HEADER_LIMIT = 1 << 16  # octets of what is said of one member; programs write some hundred
PIECE = 1 << 20  # octets unpacked at a time where nobody wants them
LONG_HEADER = "what is said of it is too long"
ENDS_EARLY = "damaged: it ends too early, so nothing of it is used; get it once more"
EXTENDED = (tarfile.XHDTYPE, tarfile.SOLARIS_XHDTYPE)
SPARSE_GOES_ON, SPARSE_GOES_FURTHER = 482, 504  # octets in a GNU header, in what follows it


class _Found(NamedTuple):
    member: Member
    octets: int  # that lie behind the header


class TarReader:
    """An open .tar, `packed` with gzip or not; see `Reader`."""

    def __init__(self, file: IO[bytes], limits: Limits, *, packed: bool) -> None:
        self._file = file
        self._limits = limits
        self._packed = packed

    def members(self) -> tuple[Member, ...]:
        """Return all members, in order; reads the archive to its end."""
        with damage_in_words(), self._from_the_start() as stream:
            members = tuple(found.member for found in self._walk(stream))
            stream.to_the_end()
            return members

    def read(self, wanted: Collection[int]) -> Iterator[Content]:
        """Read the members of these numbers, in the order in which they lie there."""
        left = len(set(wanted))
        with damage_in_words(), self._from_the_start() as stream:
            for member, octets in self._walk(stream):
                if member.number in wanted:
                    yield Content(member.number, stream.take(octets))
                    left -= 1
                if not left:
                    return

    @contextlib.contextmanager
    def _from_the_start(self) -> Iterator["_Stream"]:
        self._file.seek(0)
        if not self._packed:
            yield _Stream(self._file, self._limits.octets, packed=False)
            return
        with gzip.GzipFile(fileobj=self._file, mode="rb") as unpacked:
            yield _Stream(unpacked, self._limits.octets, packed=True)

    def _walk(self, stream: "_Stream") -> Iterator[_Found]:
        """Yield each member; what is behind its header can be read until the next is asked for."""
        number = 0
        said: dict[str, str] = {}
        while (block := stream.take(BLOCK)) != bytes(BLOCK):
            info = tarfile.TarInfo.frombuf(block, "utf-8", "surrogateescape")
            if info.size < 0:
                raise ArchiveError("damaged: a member has less than no octets")
            if info.type in (*EXTENDED, tarfile.GNUTYPE_LONGNAME):
                said |= _said(stream, info)
                continue
            if info.type in (tarfile.XGLTYPE, tarfile.GNUTYPE_LONGLINK):
                stream.skip(_padded(info.size))  # about all, or where a link leads
                continue
            if number == self._limits.members:
                raise too_many(self._limits)
            if info.type == tarfile.GNUTYPE_SPARSE:
                _skip_map(stream, block)
            octets = _octets_behind(info, said)
            end = stream.at + _padded(octets)
            yield _Found(_member(number, info, said, octets), octets)
            stream.skip(end - stream.at)
            number, said = number + 1, {}


def _said(stream: "_Stream", info: tarfile.TarInfo) -> Mapping[str, str]:
    """Read what an extended header, or one for a long name, says of the next member."""
    if info.size > HEADER_LIMIT:
        stream.skip(_padded(info.size))
        return {"too long": "yes"}
    data = stream.take(_padded(info.size))[: info.size]
    if info.type in EXTENDED:
        return _records(data)
    return {"path": data.partition(b"\0")[0].decode("utf-8", "surrogateescape")}


def _records(data: bytes) -> Mapping[str, str]:
    """Read records of the form `LENGTH KEY=VALUE`, each with a line feed at its end."""
    found: dict[str, str] = {}
    at = 0
    while at < len(data):
        space = data.find(b" ", at, at + 20)
        length = data[at : max(space, at)]
        end = at + int(length) if length.isdigit() else 0
        if not space < end <= len(data) or data[end - 1 : end] != b"\n":
            raise ArchiveError("damaged: a header cannot be read")
        key, _, value = data[space + 1 : end - 1].partition(b"=")
        found[key.decode("utf-8", "surrogateescape")] = value.decode("utf-8", "surrogateescape")
        at = end
    return found


def _octets_behind(info: tarfile.TarInfo, said: Mapping[str, str]) -> int:
    """Return how many octets lie behind a header; links, folders and devices have none."""
    if not info.isreg() and info.type in tarfile.SUPPORTED_TYPES:
        return 0
    if info.type == tarfile.GNUTYPE_SPARSE:
        return info.size
    octets = int(said.get("size", info.size))
    if octets < 0:
        raise ArchiveError("damaged: a member has less than no octets")
    return octets


def _member(number: int, info: tarfile.TarInfo, said: Mapping[str, str], octets: int) -> Member:
    name = said.get("path", info.name)
    is_folder = info.isdir() or name.endswith("/")
    problem = _problem(info, said, octets)
    return of_bearable_length(Member(number, name, _changed(info, said), is_folder, problem))


def _problem(info: tarfile.TarInfo, said: Mapping[str, str], octets: int) -> str:
    if "too long" in said:
        return LONG_HEADER
    if info.issym() or info.islnk():
        return A_LINK
    if info.type == tarfile.GNUTYPE_SPARSE or any(key.startswith("GNU.sparse.") for key in said):
        return "a file with holes: pack it without --sparse"
    if not info.isreg():
        return NOT_A_FILE
    return too_large(octets) if octets > SIZE_LIMIT else ""


def _changed(info: tarfile.TarInfo, said: Mapping[str, str]) -> int:
    """Return the time in nanoseconds; 0 if it is no number that a clock could show."""
    try:
        return int(float(said.get("mtime", info.mtime)) * 1e9)
    except (ValueError, OverflowError):
        return 0


def _skip_map(stream: "_Stream", header: bytes) -> None:
    """Pass over the blocks that say where the holes of a file are."""
    goes_on = header[SPARSE_GOES_ON]
    while goes_on:
        goes_on = stream.take(BLOCK)[SPARSE_GOES_FURTHER]


def _padded(octets: int) -> int:
    return -(-octets // BLOCK) * BLOCK


class _Stream:
    """The unpacked octets of a tar, forward only; what is unpacked is counted."""

    def __init__(self, file: IO[bytes] | gzip.GzipFile, most: int, *, packed: bool) -> None:
        self.at = 0
        self._file = file
        self._most = most
        self._packed = packed
        self._unpacked = 0

    def take(self, octets: int) -> bytes:
        """Return the next octets, not one less."""
        self._count(octets)
        data = self._file.read(octets)
        if len(data) < octets:
            raise ArchiveError(ENDS_EARLY)
        self.at += octets
        return data

    def skip(self, octets: int) -> None:
        """Pass over octets; in a file that is not packed this costs nothing."""
        if self._packed:
            for start in range(0, octets, PIECE):
                self.take(min(PIECE, octets - start))
        elif octets:
            self._file.seek(octets - 1, 1)
            self.at += octets - 1
            self.take(1)  # is it there?

    def to_the_end(self) -> None:
        """Read what is left, so that nothing hides there and the whole's checksum is looked at."""
        while data := self._file.read(PIECE):
            self._count(len(data))
            if data.strip(b"\0"):
                raise ArchiveError("something follows its end: are these two archives in one?")

    def _count(self, octets: int) -> None:
        self._unpacked += octets
        if self._unpacked > self._most:
            raise ArchiveError(
                f"it unpacks to more than {self._most >> 20:,} MiB: nothing was read"
            )
