"""Find files of the course by pattern, and never silently nothing.

Some modules must know code as text: a digest of it tells whether a score still holds. A pattern
that matches no file any more, since something was moved, would keep scores that no longer hold.
"""

__all__ = ["source_digest", "source_files"]

import functools
import hashlib
from collections.abc import Iterable, Iterator
from pathlib import Path

import course_lib
import instructor

LIBRARY = Path(course_lib.__file__).resolve().parent.parent  # may be an installed one
CHECKOUT = Path(instructor.__file__).resolve().parent.parent


def source_files(
    patterns: Iterable[str], *, but: Iterable[str] = ()
) -> tuple[tuple[str, Path], ...]:
    """Return names ("course_lib/cli.py") and places of files, in the order of their names.

    A name that also matches a pattern of `but` is left out. Raises `LookupError` for a pattern of
    either kind that matches nothing.
    """
    left_out = {name for pattern in but for name, _ in _matching(pattern)}
    found = {name: path for pattern in patterns for name, path in _matching(pattern)}
    return tuple((name, found[name]) for name in sorted(found) if name not in left_out)


@functools.cache
def source_digest(patterns: tuple[str, ...], *, but: tuple[str, ...] = ()) -> str:
    """Return a digest of the names and contents of files, in hexadecimal.

    It is worked out once, so that it tells what was loaded and not what lies there later.
    """
    whole = hashlib.sha256()
    for name, path in source_files(patterns, but=but):
        whole.update(name.encode() + b"\0" + _digest(path))
    return whole.hexdigest()


@functools.cache
def _digest(path: Path) -> bytes:
    return hashlib.sha256(path.read_bytes()).digest()


@functools.cache
def _matching(pattern: str) -> tuple[tuple[str, Path], ...]:
    found = tuple(_files(pattern))
    if not found:
        raise LookupError(f"no file of the course matches {pattern!r}: mend the pattern")
    return found


def _files(pattern: str) -> Iterator[tuple[str, Path]]:
    home = LIBRARY if pattern.startswith("course_lib/") else CHECKOUT
    for path in home.glob(pattern):
        if path.is_file():
            yield path.relative_to(home).as_posix(), path
