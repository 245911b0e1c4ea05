"""Copy what one account wrote, and nothing else.

Where a student may write, a link can stand in place of a file, and whoever copies for
the staff reads with the staff's rights: a link to the model answers would be handed in
as answers. So no link is followed, at no moment, and each file must belong to the
student: a hard link to a file of somebody else does not.
"""

__all__ = ["Copied", "NotTheirsError", "copy_owned"]

import os
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

FOLDER = os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW
MOST_FILES, DEEPEST = 1000, 20  # of a hand-in; beyond, somebody wants to keep us busy
FILE = os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK  # does not wait for whoever fills a pipe


class NotTheirsError(ValueError):
    """A folder that does not belong to the account; the text says what it is."""


class Copied(NamedTuple):
    """What came of a copy: when any of it was last changed, and what was left out and why.

    The time is the file system's, in seconds; an account cannot set it back.
    """

    changed: float
    left_out: tuple[str, ...]


def copy_owned(
    source: Path, target: Path, owner: int, *, skip: Callable[[str], bool] = lambda _: False,
    most_octets: int = 100 << 20,
) -> Copied:  # fmt: skip
    """Copy the plain files below `source` that belong to `owner` into the new folder `target`.

    Raises `NotTheirsError`, before anything is written, if `source` is not a folder of theirs.
    """
    top = _open_folder(source, owner)
    try:
        target.mkdir(parents=True)
        changed = os.fstat(top).st_ctime
        left_out: list[str] = []
        for place, name, handle in _entries(top, owner, skip, left_out):
            try:
                about = os.fstat(handle)
                if why := _why_not(about, owner, most_octets):
                    left_out.append(f"{place / name}: {why}")
                    continue
                _copy(handle, target / place / name, about)
                most_octets -= about.st_size
                changed = max(changed, about.st_ctime)
            finally:
                os.close(handle)
    finally:
        os.close(top)
    return Copied(changed, tuple(left_out))


def _open_folder(source: Path, owner: int) -> int:
    try:
        top = os.open(source, FOLDER)
    except OSError as problem:
        raise NotTheirsError(f"not a folder that can be read: {problem.strerror}") from problem
    if os.fstat(top).st_uid != owner:
        os.close(top)
        raise NotTheirsError("the folder belongs to another account")
    return top


def _entries(
    top: int, owner: int, skip: Callable[[str], bool], left_out: list[str]
) -> Iterator[tuple[Path, str, int]]:
    """Yield each file, opened, with the folder it lies in; the caller closes it."""
    left = MOST_FILES
    for folder, folders, files, handle in os.fwalk(
        ".", dir_fd=top, follow_symlinks=False, onerror=lambda why: left_out.append(str(why))
    ):
        place = Path(folder)
        folders[:] = [name for name in folders if not skip(name)]
        files = [name for name in files if not skip(name)]
        left -= len(files)
        if why := _why_no_further(os.fstat(handle), owner, len(place.parts), left):
            left_out.append(f"{place}: {why}")
            folders[:] = []
            continue
        for name in files:
            try:
                yield place, name, os.open(name, FILE, dir_fd=handle)
            except OSError as problem:
                left_out.append(f"{place / name}: not a plain file ({problem.strerror})")


def _why_no_further(about: os.stat_result, owner: int, depth: int, left: int) -> str:
    if about.st_uid != owner:
        return "belongs to another account"
    if depth > DEEPEST:
        return "too many folders in folders"
    return "too many files" if left < 0 else ""


def _why_not(about: os.stat_result, owner: int, most_octets: int) -> str:
    if not stat.S_ISREG(about.st_mode):
        return "not a plain file"
    if about.st_uid != owner:
        return "belongs to another account"
    return "too large" if about.st_size > most_octets else ""


def _copy(handle: int, target: Path, about: os.stat_result) -> None:
    """Copy as many octets as there were when we looked, with their time."""
    target.parent.mkdir(parents=True, exist_ok=True)
    with os.fdopen(os.dup(handle), "rb") as stream:
        target.write_bytes(stream.read(about.st_size))
    os.utime(target, ns=(about.st_atime_ns, about.st_mtime_ns))
