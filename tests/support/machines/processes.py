"""Processes that a test has started, and theirs: who they are, and waiting for their end.

No wait here has a clock: it ends when something holds, or when the process that should bring it
about is gone. Where a test hangs, pytest's `faulthandler_timeout` prints the line.
"""

import os
import select
import time
from pathlib import Path

SHORTEST_S, LONGEST_S = 0.02, 0.16  # from one look to the next


def children_of(pid):
    """Return all processes below one, as pairs of its number and a descriptor of it."""
    found = {}
    for name in _listed(pid):
        try:
            found[name] = os.pidfd_open(name)
        except ProcessLookupError:
            continue
        found |= children_of(name)
    return found


def wait_for_the_end_of(processes):
    """Wait until all of these have ended, as the kernel says."""
    for descriptor in processes.values():
        poll = select.poll()
        poll.register(descriptor, select.POLLIN)
        poll.poll()
        os.close(descriptor)


def until(condition, process=None, said=str):
    """Look again and again until something holds; return it.

    Fails if `process`, which should bring it about, has ended; `said` then returns what it said.
    """
    pause_s = SHORTEST_S
    while True:
        has_ended = process is not None and process.poll() is not None
        if found := condition():
            return found
        assert not has_ended, said()
        time.sleep(pause_s)
        pause_s = min(2 * pause_s, LONGEST_S)  # to look is work, too: in a browser, or at a server


def _listed(pid):
    try:
        texts = [_text(path) for path in Path(f"/proc/{pid}/task").glob("*/children")]
    except (FileNotFoundError, ProcessLookupError):
        return []  # it ended while we looked
    return [int(word) for text in texts for word in text.split()]


def _text(path):
    try:
        return path.read_text()
    except (FileNotFoundError, ProcessLookupError):
        return ""
