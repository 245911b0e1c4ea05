"""Processes that a test has started, and theirs: who they are, and waiting for their end."""

import os
import select
import time
from pathlib import Path

END_S = 200.0


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


def all_gone(processes, within_s=END_S):
    """Wait until all of these have ended, as the kernel says; tell whether they have in time."""
    end = time.monotonic() + within_s
    for descriptor in processes.values():
        left_ms = max(0.0, end - time.monotonic()) * 1000
        poll = select.poll()
        poll.register(descriptor, select.POLLIN)
        if not poll.poll(left_ms):
            return False
        os.close(descriptor)
    return True


def until(condition, within_s=600.0):
    """Look again and again until something holds; fail if that takes too long."""
    end = time.monotonic() + within_s
    while not (found := condition()):
        assert time.monotonic() < end, f"not within {within_s:g} s"
        time.sleep(0.02)
    return found


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
