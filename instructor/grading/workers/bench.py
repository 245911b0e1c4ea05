"""A worker: it only computes. It has a sandbox of its own, and examines what it is sent.

A worker is a process of this machine or of another one. It reads no hand-in, opens no
gradebook and writes nothing: all that it needs comes as values, and all that it has to
say goes back as a value. In this order it is asked to

1. `open_bench`: open a sandbox, and where nobody has tried its walls yet, try them;
2. `take_cases`: the cases of all units of the class, once;
3. `examine`: one hand-in after the other;
4. `close_bench`: end the sandbox and everything in it.

Where there is no sound sandbox, an answer runs only if the grader has said `--trusted`.
"""

__all__ = [
    "TRIES", "Bench", "Call", "Examined", "NoBenchError", "Opened", "Terms", "ToExamine",
    "close_bench", "examine", "nobody_can_tell", "open_bench", "take_cases",
]  # fmt: skip

import contextlib
import functools
import os
import socket
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple, NoReturn

from course_lib.runner.answer_process import Launcher, RunnerError
from instructor.grading.examiner import Cases, Examiner
from instructor.grading.intake.hand_ins import HandIn, NotGraded
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.sandbox import BOUNDS, Kind, Sandbox, open_sandbox
from instructor.grading.sandbox.sandboxed_run import Look, look_at
from instructor.grading.similarity.code_prints import CodePrints, code_prints
from instructor.grading.workers.course_version import course_version
from instructor.grading.workers.limits import limited_memory, limited_processor_time

TRIES = 2  # of a hand-in at which the grader itself fails
IDLE_S = 600.0  # then a far worker closes its sandbox: whoever asked for it may be gone
LOOK_S = 30.0  # between two looks whether that is so
NO_PRINTS = CodePrints()


@dataclass(frozen=True, slots=True)
class Terms:
    """How answers are to run. `run` is a name for one run of one grader.

    `kinds` are the sandboxes to try; none: answers run as the grader, as trusted. `far` is
    a worker of a machine that nobody has looked at: it tries the walls itself, and it must
    have the same `version` of the course. `at_a_time` is how many answers it may run.
    """

    run: str
    trusted: bool
    kinds: tuple[Kind, ...] = ("warm", "cold")
    far: bool = False
    version: str = ""
    at_a_time: int = 1
    bounds: Bounds = BOUNDS


class Opened(NamedTuple):
    """What a worker says of itself: where it is, what it found, and why it will not work."""

    machine: str
    process: int
    lines: tuple[str, ...] = ()
    problem: str = ""


class ToExamine(NamedTuple):
    """One hand-in with its workbook's contents, and those of its answers that are known."""

    hand_in: HandIn
    known: Mapping[str, MarkedAnswer]


class Examined(NamedTuple):
    """What became of a hand-in, which worker says so, and its processor time in the sandbox.

    `prints` are the fingerprints of its code.
    """

    result: MarkedHandIn | NotGraded
    worker: tuple[str, int]
    processor_s: float
    prints: CodePrints = NO_PRINTS


class NoBenchError(RuntimeError):
    """A worker was sent something for a run that it knows nothing of, or no more."""


class Bench:
    """What a worker has for one run: how to start answers, and an examiner for each unit."""

    def __init__(self, launcher: Launcher | None, sandbox: Sandbox | None = None) -> None:
        self._launcher = launcher
        self._sandbox = sandbox
        self._examiners: dict[str, Examiner] = {}

    def take(self, cases: Mapping[str, Cases]) -> None:
        """Make an examiner for each unit; the cases are given, so the seed is not needed."""
        self._examiners = {
            unit: Examiner(unit, "", self._launcher, of_unit) for unit, of_unit in cases.items()
        }

    def examine(self, work: ToExamine) -> Examined:
        """Examine one hand-in; a fault of ours is tried again, and never stops the others."""
        hand_in, known = work
        for _ in range(TRIES):
            try:
                marked = self._examiners[hand_in.unit].examine(hand_in, known)
                return self._said(marked, code_prints(hand_in, marked))
            except Exception as problem:  # whatever it is, the line for the grader says it
                failure = f"{type(problem).__name__}: {problem}"
        return self._said(nobody_can_tell(hand_in, f"the grader failed ({failure})"))

    def _said(self, result: MarkedHandIn | NotGraded, prints: CodePrints = NO_PRINTS) -> Examined:
        used_s = 0.0 if self._sandbox is None else self._sandbox.processor_s()
        return Examined(result, (socket.gethostname(), os.getpid()), used_s, prints)


def nobody_can_tell(hand_in: HandIn, why: str) -> NotGraded:
    """Return the line for a person about a hand-in at which we failed."""
    return NotGraded(
        hand_in.path, f"could not tell: {why}; this is not the student's fault",
        hand_in.student, hand_in.unit, hand_in.where,
    )  # fmt: skip


def open_bench(terms: Terms) -> Opened:
    """Open the sandbox of this process for a run, and say what was found."""
    here = Opened(socket.gethostname(), os.getpid())
    if terms.version not in ("", course_version()):
        return here._replace(problem=f"it has another version of this course: {course_version()},"
                                     f" not {terms.version}")  # fmt: skip
    close_bench(terms.run)
    with contextlib.ExitStack() as ending:
        sandbox = None
        if terms.kinds:
            opened = open_sandbox(terms.at_a_time, terms.bounds, terms.kinds)
            sandbox = ending.enter_context(opened)
        ending.enter_context(limited_memory())
        lines, problem = _look(sandbox, terms)
        if problem and terms.far and not terms.trusted:
            return here._replace(lines=lines, problem=problem)
        bench = Bench(_launcher(sandbox, problem, terms), sandbox)
        with _CHANGING:
            _OPEN[terms.run] = _Open(bench, ending.pop_all())
    if terms.far:
        threading.Thread(target=_close_if_forgotten, args=(terms.run,), daemon=True).start()
    if problem:
        lines = (*lines, f"No sandbox: {problem}. Answers run as the worker, as trusted.")
    return here._replace(lines=lines)


def take_cases(run: str, cases: Mapping[str, Cases]) -> None:
    """Take the cases of all units."""
    with _in_use(run) as bench:
        bench.take(cases)


def examine(run: str, work: ToExamine) -> Examined:
    """Examine one hand-in."""
    with _in_use(run) as bench, limited_processor_time():
        return bench.examine(work)


def close_bench(run: str) -> None:
    """End the sandbox of a run; nothing happens if there is none."""
    with _CHANGING:
        found = _OPEN.pop(run, None)
    if found is not None:
        found.ending.close()


class Call(functools.partial[Any]):
    """A call that is made by unpacking it: whoever passes it on packed need not know what it is."""

    def __reduce__(self) -> tuple[Callable[..., Any], tuple[Any, ...]]:
        return self.func, self.args


def _look(sandbox: Sandbox | None, terms: Terms) -> Look:
    """Try the walls if nobody has; where there is no sandbox at all, say why."""
    if sandbox is None or (sandbox.works and not terms.far):
        return Look(())
    return look_at(sandbox)


def _launcher(sandbox: Sandbox | None, problem: str, terms: Terms) -> Launcher | None:
    """Return what starts answers; None if they run as the worker, which only `--trusted` allows.

    Where there was a sandbox a moment ago and there is none now, no answer is run at all.
    """
    if sandbox is not None and sandbox.launcher is not None and not problem:
        return sandbox.launcher
    if terms.trusted and (sandbox is None or terms.far):
        return None

    def refuse() -> NoReturn:
        raise RunnerError(problem or "there is no sandbox")

    return refuse


class _Open:
    """A bench in use, what ends it, and when it was used last."""

    def __init__(self, bench: Bench, ending: contextlib.ExitStack) -> None:
        self.bench = bench
        self.ending = ending
        self.users = 0
        self.used_at = time.monotonic()


# A worker process has no other place for what lasts from one call to the next.
_OPEN: dict[str, _Open] = {}
_CHANGING = threading.Lock()


def _close_if_forgotten(run: str) -> None:
    """Watch over a bench: its grader may have ended without a word."""
    while (found := _OPEN.get(run)) is not None:
        if not found.users and time.monotonic() - found.used_at > IDLE_S:
            close_bench(run)
            return
        time.sleep(LOOK_S)


@contextlib.contextmanager
def _in_use(run: str) -> Iterator[Bench]:
    with _CHANGING:
        found = _OPEN.get(run)
        if found is None:
            raise NoBenchError(f"process {os.getpid()} of {socket.gethostname()} has no sandbox")
        found.users += 1
    try:
        yield found.bench
    finally:
        with _CHANGING:
            found.users -= 1
            found.used_at = time.monotonic()
