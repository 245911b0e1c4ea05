"""A release is made whole or not at all: what a refused one began is put back as it was."""

__all__ = ["whole_or_not_at_all"]

import contextlib
import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

WRITTEN = (  # by a release, below the folder that it is given
    "course/source", "course/release", "course/batch.json", "course/nbgrader_config.py",
    "course/gradebook.db", "course/codes.csv", "students",
)  # fmt: skip


@contextlib.contextmanager
def whole_or_not_at_all(folder: Path) -> Iterator[None]:
    """Put everything below `folder` that a release writes back, if the `with` block fails."""
    missing = _first_missing(folder)
    course = folder / "course"
    had_course = course.exists()
    with tempfile.TemporaryDirectory() as space:
        kept = Path(space)
        for name in WRITTEN:
            _copy(folder / name, kept / name)
        try:
            yield
        except BaseException:
            if missing is not None:
                _remove(missing)
            else:
                for name in WRITTEN:
                    _remove(folder / name)
                    _copy(kept / name, folder / name)
                if not had_course:
                    _remove(course)
            raise


def _first_missing(folder: Path) -> Path | None:
    """Return the outermost folder that is to be made; None if all are there."""
    missing = [place for place in (folder, *folder.parents) if not place.exists()]
    return missing[-1] if missing else None


def _copy(place: Path, to: Path) -> None:
    if place.is_dir():
        shutil.copytree(place, to, symlinks=True)
    elif place.exists():
        to.parent.mkdir(parents=True, exist_ok=True)
        shutil.copy2(place, to)


def _remove(place: Path) -> None:
    if place.is_dir() and not place.is_symlink():
        shutil.rmtree(place)
    else:
        place.unlink(missing_ok=True)
