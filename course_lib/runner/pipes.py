"""Read from several pipes at once, whichever has something, and never wait longer than asked.

Where the system can wait for several pipes at once, we do (`poll`, on Linux and macOS). Windows
cannot: there a thread waits at each pipe, and hands on what comes.
"""

__all__ = ["Pipes", "PolledPipes", "ThreadedPipes", "watched"]

import contextlib
import os
import queue
import select
import threading
import time
from collections import deque
from collections.abc import Sequence
from typing import IO, Protocol

CHUNK = 1 << 16  # octets read at once
HELD_S = 1.0  # a pipe from which nothing comes for so long, though its writer has ended, is held
MOST_CHUNKS = 64  # that wait to be taken; a flood waits in the pipe, not in our memory


class Pipes(Protocol):
    """Some pipes, known by their places in a list."""

    def wait(self, most_s: float) -> list[tuple[int, bytes]]:
        """Return what has come, each with its pipe; nothing if nothing comes in time.

        No octets stand for the end of a pipe, which is told once.
        """

    def rest(self, place: int) -> bytes | None:
        """Return what is left in a pipe whose writer has ended: octets, or none at its end.

        None if nothing is left and somebody else still holds the other end.
        """

    def leave(self, place: int) -> None:
        """Read no more of a pipe."""

    def close(self) -> None:
        """Close all pipes, and wait for nobody who may still hold their other ends."""


def watched(pipes: Sequence[IO[bytes]]) -> Pipes:
    """Watch pipes in the way that this system has."""
    return PolledPipes(pipes) if hasattr(select, "poll") else ThreadedPipes(pipes)


class PolledPipes:
    """One call of the system waits for all pipes; nothing waits in a thread."""

    def __init__(self, pipes: Sequence[IO[bytes]]) -> None:
        self._pipes = pipes
        self._places = {pipe.fileno(): place for place, pipe in enumerate(pipes)}
        self._poll = select.poll()
        for descriptor in self._places:
            os.set_blocking(descriptor, False)
            self._poll.register(descriptor, select.POLLIN)

    def wait(self, most_s: float) -> list[tuple[int, bytes]]:
        """Return what has come, each with its pipe."""
        come = []
        for descriptor, _ in self._poll.poll(most_s * 1000):
            place = self._places[descriptor]
            chunk = self.rest(place)
            if chunk is not None:
                come.append((place, chunk))
        return come

    def rest(self, place: int) -> bytes | None:
        """Return what is left in a pipe whose writer has ended."""
        descriptor = self._pipes[place].fileno()
        if descriptor not in self._places:
            return None
        try:
            chunk = os.read(descriptor, CHUNK)
        except BlockingIOError:
            return None
        if not chunk:
            self.leave(place)
        return chunk

    def leave(self, place: int) -> None:
        """Read no more of a pipe."""
        descriptor = self._pipes[place].fileno()
        if self._places.pop(descriptor, None) is not None:
            self._poll.unregister(descriptor)

    def close(self) -> None:
        """Close all pipes."""
        for pipe in self._pipes:
            pipe.close()


class ThreadedPipes:
    """A thread waits at each pipe, and closes it at its end.

    A pipe whose other end somebody keeps open is left to its thread, which ends with us.
    """

    def __init__(self, pipes: Sequence[IO[bytes]]) -> None:
        self._come: queue.Queue[tuple[int, bytes]] = queue.Queue(MOST_CHUNKS)
        self._kept: tuple[deque[bytes], ...] = tuple(deque() for _ in pipes)
        self._left: set[int] = set()
        self._is_closed = threading.Event()
        self._threads = [
            threading.Thread(target=self._read, args=(place, pipe), daemon=True)
            for place, pipe in enumerate(pipes)
        ]
        for thread in self._threads:
            thread.start()

    def wait(self, most_s: float) -> list[tuple[int, bytes]]:
        """Return what has come, each with its pipe."""
        until = time.monotonic() + most_s
        while True:
            come = [(place, kept.popleft()) for place, kept in enumerate(self._kept) if kept]
            if come:
                return come
            try:
                self._keep(max(0.0, until - time.monotonic()))
            except queue.Empty:
                return []

    def rest(self, place: int) -> bytes | None:
        """Return what is left in a pipe whose writer has ended; its thread may need a moment."""
        try:
            while not self._kept[place]:
                self._keep(HELD_S)
        except queue.Empty:
            return None
        return self._kept[place].popleft()

    def leave(self, place: int) -> None:
        """Read no more of a pipe: what comes is thrown away."""
        self._left.add(place)
        self._kept[place].clear()

    def close(self) -> None:
        """Let the threads end, each at the end of its pipe."""
        self._is_closed.set()
        with contextlib.suppress(queue.Empty):  # whoever waits for room goes on
            while True:
                self._come.get_nowait()

    def _keep(self, most_s: float) -> None:
        place, chunk = self._come.get(timeout=most_s)
        if place not in self._left:
            self._kept[place].append(chunk)

    def _read(self, place: int, pipe: IO[bytes]) -> None:
        with pipe:
            while True:
                chunk = os.read(pipe.fileno(), CHUNK)
                if self._is_closed.is_set():
                    return
                self._come.put((place, chunk))
                if not chunk:
                    return
