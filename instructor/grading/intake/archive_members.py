"""What members of an archive are, within which limits they are read, and how damage is said.

Everything in an archive was chosen by a stranger, so nothing that it says of itself is
believed: a member is read up to its limit whatever size is named, an archive is left where it
goes beyond a limit, and nothing is ever put on the disk. `zip_members.py` and
`tar_members.py` read; `archives.py` says what is a hand-in.
"""

__all__ = [
    "A_LINK",
    "CLASS_LIMITS",
    "NOT_A_FILE",
    "SIZE_LIMIT",
    "STUDENT_LIMITS",
    "ArchiveError",
    "Content",
    "Limits",
    "Member",
    "Reader",
    "damage_in_words",
    "of_bearable_length",
    "too_large",
    "too_many",
]

import contextlib
import lzma
import struct
import tarfile
import zipfile
import zlib
from collections.abc import Collection, Iterator
from typing import NamedTuple, Protocol

SIZE_LIMIT = 50 << 20  # octets of one workbook
NAME_LIMIT = 1000  # characters of a member's name
A_LINK = "a link, not a file"
NOT_A_FILE = "not a file: a folder, a pipe or a device"
LONG_NAME = f"its name is longer than {NAME_LIMIT:,} characters"
DAMAGE = (
    zipfile.BadZipFile, tarfile.TarError, zlib.error, lzma.LZMAError, struct.error, EOFError,
    OSError, ValueError, OverflowError, NotImplementedError, RuntimeError, MemoryError,
)  # fmt: skip


class Limits(NamedTuple):
    """How many members an archive may have, and how many octets are unpacked in all."""

    members: int
    octets: int


CLASS_LIMITS = Limits(50_000, 8 << 30)
STUDENT_LIMITS = Limits(20_000, 256 << 20)


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


class ArchiveError(ValueError):
    """Nothing of an archive can be used; the text says why, in one line."""


class Reader(Protocol):
    """An open archive; its methods raise `ArchiveError`."""

    def members(self) -> tuple[Member, ...]:
        """Return all members, in order."""

    def read(self, wanted: Collection[int]) -> Iterator[Content]:
        """Read the members of these numbers, in the order in which they lie there."""


@contextlib.contextmanager
def damage_in_words() -> Iterator[None]:
    """Turn whatever reading hostile octets may raise into an `ArchiveError` of one line."""
    try:
        yield
    except ArchiveError:
        raise
    except DAMAGE as problem:
        text = ascii(str(problem) or type(problem).__name__)[1:-1]
        raise ArchiveError(f"damaged ({text[:120]})") from problem


def of_bearable_length(member: Member) -> Member:
    """Cut a name that is too long in the middle, and note it as a problem."""
    if len(member.name) <= NAME_LIMIT:
        return member
    half = NAME_LIMIT // 2
    return member._replace(name=f"{member.name[:half]}…{member.name[-half:]}", problem=LONG_NAME)


def too_large(octets: int) -> str:
    """Say that one file is too large."""
    return f"too large: {octets >> 20} MiB, at most {SIZE_LIMIT >> 20}"


def too_many(limits: Limits) -> ArchiveError:
    """Say that an archive has too many members."""
    return ArchiveError(f"more than {limits.members:,} members: nothing of it was read")
