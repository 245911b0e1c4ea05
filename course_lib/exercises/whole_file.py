"""Write a file whole or not at all: what is there is either the old text or the new one.

A stop, a crash or a full disk in the middle of writing leaves the old file as it was.
The text goes to a temporary file beside it, is forced to the disk, and then takes the
old one's name in one step (POSIX, `rename`: the name refers to the old or the new file).
"""

__all__ = ["write_whole"]

import contextlib
import os
import tempfile
from pathlib import Path


def write_whole(path: Path, text: str, mode: int = 0o666) -> None:
    """Write `text` as UTF-8, line ends as they are; raise `OSError` and leave `path` alone.

    `mode` says who may read and write it, less what the process's mask takes away.
    """
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:40]}.")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        temporary.chmod(mode & ~_umask())
        temporary.replace(path)
    except BaseException:
        temporary.unlink(missing_ok=True)
        raise
    _keep_name(path.parent)


def _umask() -> int:
    """Return the mask for new files; asking for it means setting it twice."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _keep_name(folder: Path) -> None:
    """Force the folder's entry to the disk too, where the system can."""
    with contextlib.suppress(OSError):  # Windows cannot open a folder
        place = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(place)
        finally:
            os.close(place)
