"""What is secret is written for the staff alone: keys, seeds, gradebook, records, pages, names.

Whatever is made while this lasts can be read and written by its owner, and by nobody else (0600,
folders 0700). In a folder that its owner has opened to a group for writing, by the group too.
"""

__all__ = ["private"]

import contextlib
import os
import stat
from collections.abc import Iterator
from pathlib import Path

OTHERS = 0o007
GROUP = 0o070


@contextlib.contextmanager
def private(folder: Path) -> Iterator[None]:
    """Make what is written in the `with` block private, and shut `folder` to all others."""
    mode = stat.S_IMODE(folder.stat().st_mode) if folder.exists() else 0o700
    shared = bool(mode & stat.S_IWGRP)
    shut = OTHERS if shared else OTHERS | GROUP
    before = os.umask(shut)
    try:
        if mode & shut and folder.stat().st_uid == os.getuid():
            folder.chmod(mode & ~shut)
        yield
    finally:
        os.umask(before)
