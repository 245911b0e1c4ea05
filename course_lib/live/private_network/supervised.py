"""Our end of a private network: order something from its supervisor, and get the answer.

The network ends with us: the supervisor watches this process, and `Lifeline` has the kernel kill
it even if it should be busy. Any thread may order; one order is answered after the other.
"""

__all__ = ["LiveNetworkError", "Supervised"]

import contextlib
import json
import os
import socket
import subprocess
import sys
import tempfile
import threading
from collections.abc import Sequence
from typing import Any

from course_lib.live.private_network.namespaces import StepError
from course_lib.runner.lifeline import Lifeline

SUPERVISOR = "course_lib.live.private_network.supervisor"
LASTS_S = 6 * 3600  # a network that somebody forgot ends by itself
ANSWER_OCTETS = 1 << 16


class LiveNetworkError(RuntimeError):
    """A private network, or something in it, is not there; the message says what to do."""


class Supervised:
    """A supervisor that runs; it has no places yet. Raises `StepError` if the kernel refuses."""

    def __init__(self, lasts_s: int = LASTS_S) -> None:
        self._lock, self._line = threading.Lock(), Lifeline()
        self._errors = tempfile.TemporaryFile()  # noqa: SIM115 - closed by `close`
        self._control, theirs = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        arguments = (str(theirs.fileno()), str(os.getpid()), str(lasts_s))
        with theirs:
            self.process = subprocess.Popen(
                [sys.executable, "-P", "-m", SUPERVISOR, *arguments],
                stdin=subprocess.DEVNULL,
                stdout=self._errors,
                stderr=self._errors,
                start_new_session=True,
                pass_fds=[theirs.fileno(), *self._line.theirs],
            )
        self._line.tie(self.process.pid)
        try:
            self._answer()
        except BaseException:
            self.close()
            raise

    @property
    def is_running(self) -> bool:
        """Tell whether the supervisor is still there, and with it the network."""
        return self.process.poll() is None

    def order(self, what: str, descriptors: Sequence[int] = (), **arguments: object) -> Any:
        """Have something done, a method `do_...` of the supervisor; return its answer.

        Raises `StepError` for what the kernel refused, `LiveNetworkError` if nobody is there.
        """
        message = json.dumps({"do": what, **arguments}).encode()
        with self._lock:
            with contextlib.suppress(OSError):  # nobody is there: then no answer comes either
                socket.send_fds(self._control, [message], descriptors)
            return self._answer()

    def _answer(self) -> Any:
        answer = b""
        with contextlib.suppress(OSError):
            answer = self._control.recv(ANSWER_OCTETS)
        if not answer:
            raise LiveNetworkError(f"{self._why_it_ended()}; make a new one")
        said = json.loads(answer)
        if "refused" in said:
            raise StepError(**said["refused"])
        return said["done"]

    def close(self) -> None:
        """Let the network go, and wait until all in it has ended."""
        self._control.close()
        self.process.wait()
        self._line.close()
        self._errors.close()

    def _why_it_ended(self) -> str:
        if self._errors.closed:
            return "the private network has been left"
        self._errors.seek(0)
        said = self._errors.read().decode(errors="replace").strip()
        return "the private network has ended" + (f": {said.splitlines()[-1]}" if said else "")
