"""A router in a simulated network that runs in a process of its own: seen from the notebook.

The process is spoken to in lines of JSON. Whatever becomes of it, from a loop without end to a
crash, the notebook goes on, and says what it knows.
"""

__all__ = ["ANSWERS_WITHIN_S", "SimulatedRouter"]

import collections
import contextlib
import json
import queue
import subprocess
import sys
import threading
import weakref
from typing import IO, Any

from course_lib.control.ferry_traffic import PLACE
from course_lib.control.steered_router import LostRouterError
from course_lib.live.carrying.endings import why_it_ended
from course_lib.live.carrying.recipes import LibraryRecipe, Recipe
from course_lib.steering.changes import Change, SteeringError
from course_lib.steering.plain_data import as_plain, state_of
from course_lib.steering.states import RouterState

ANSWERS_WITHIN_S = 10.0  # a machine may be busy
STARTS_WITHIN_S = 120.0
ENDS_WITHIN_S = 5.0
_LAST_LINES = 6  # of what the process said at its end

Answers = queue.Queue[dict[str, Any] | None]


class SimulatedRouter:
    """A router at one place of the ferry network, with traffic; it is a `SteeredRouter`.

    recipe: how the router is made; the library's router, if none is given.
    """

    where = "simulated"

    def __init__(self, recipe: Recipe | None = None, place: str = PLACE) -> None:
        self._recipe, self._place = recipe or LibraryRecipe(), place
        self._process: subprocess.Popen[str] | None = None
        self._answers: Answers = queue.Queue()
        self._said: collections.deque[str] = collections.deque(maxlen=_LAST_LINES)
        self._listener = threading.Thread()
        self._asked = 0
        self._one_at_a_time = threading.Lock()

    @property
    def process_id(self) -> int | None:
        """The number of the process; None before the first start."""
        return self._process.pid if self._process else None

    def start(self) -> None:
        """Start the process, or end the old one and start anew; raises `LostRouterError`."""
        with self._one_at_a_time:
            self._end()
            self._process = subprocess.Popen(
                [sys.executable, "-m", "course_lib.control.simulated_worker"],
                stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE,
                text=True, encoding="utf-8", errors="replace",
                start_new_session=True,  # a cell that is interrupted doesn't interrupt the router
            )  # fmt: skip
            self._ends_with_us = weakref.finalize(self, _end, self._process)
            self._answers = queue.Queue()
            reader = (self._process.stdout, self._answers)
            threading.Thread(target=_read, args=reader, daemon=True).start()
            self._said.clear()
            listener = (self._process.stderr, self._said)
            self._listener = threading.Thread(target=_keep_last, args=listener, daemon=True)
            self._listener.start()
            self._send({"place": self._place, "recipe": self._recipe.as_data()})
            first = self._next(STARTS_WITHIN_S)
            if "failed" in first:
                self._end()
                raise LostRouterError(f"The router could not be made: {first['failed']}")

    def state(self) -> RouterState:
        """Return the router's state; raises `LostRouterError`."""
        return state_of(self._ask({"ask": "state"})["state"])

    def change(self, change: Change) -> None:
        """Make a change; raises `SteeringError`, `LostRouterError`."""
        self._ask({"change": as_plain(change)})

    def is_alive(self) -> bool:
        """Whether the process runs."""
        return self._process is not None and self._process.poll() is None

    def close(self) -> None:
        """End the process."""
        with self._one_at_a_time:
            self._end()

    def _ask(self, order: dict[str, Any]) -> dict[str, Any]:
        with self._one_at_a_time:
            self._asked += 1
            self._send(order | {"number": self._asked})
            answer = self._next(ANSWERS_WITHIN_S)
            while answer.get("number") != self._asked:  # of a question that was given up
                answer = self._next(ANSWERS_WITHIN_S)
        if "problem" in answer:
            raise SteeringError(answer["problem"])
        return answer

    def _send(self, order: dict[str, Any]) -> None:
        if self._process is None or self._process.stdin is None:
            raise LostRouterError("The router has not been started.")
        try:
            self._process.stdin.write(json.dumps(order) + "\n")
            self._process.stdin.flush()
        except (OSError, ValueError):
            raise LostRouterError(self._how_it_ended()) from None

    def _next(self, within_s: float) -> dict[str, Any]:
        try:
            answer = self._answers.get(timeout=within_s)
        except queue.Empty:
            raise LostRouterError(
                f"The router's process has not answered for {within_s:g} s."
            ) from None
        if answer is None:
            raise LostRouterError(self._how_it_ended())
        return answer

    def _how_it_ended(self) -> str:
        if self._process is None:
            return "The router's process was ended."
        try:
            code = self._process.wait(ENDS_WITHIN_S)
        except subprocess.TimeoutExpired:  # it closed its output, or sent what is no answer
            self._process.kill()
            code = self._process.wait()
        self._listener.join(ENDS_WITHIN_S)
        said = f" It said: {' / '.join(self._said)}" if self._said else ""
        return f"The router has ended: {why_it_ended(code)}.{said}"

    def _end(self) -> None:
        if self._process is not None:
            self._ends_with_us()
            self._process = None


def _end(process: subprocess.Popen[str]) -> None:
    process.kill()
    process.wait()
    if process.stdin:
        with contextlib.suppress(OSError):  # what was still to be written finds no reader
            process.stdin.close()


def _read(stream: IO[str], answers: Answers) -> None:
    """Hand on answers as they come, and None at the end; what is no answer is the end too."""
    with stream:
        for line in stream:
            try:
                answer = json.loads(line)
            except ValueError:
                break
            answers.put(answer if isinstance(answer, dict) else None)
    answers.put(None)


def _keep_last(stream: IO[str], said: collections.deque[str]) -> None:
    """Read what the process says beside its answers, so that it never waits for a reader."""
    with stream:
        said.extend(line.strip()[:200] for line in stream if line.strip())
