"""Run an answer in a process of its own, and bring back plain data.

The judge's side of `child.py`. It sends inputs, reads one line per case, keeps
the time, and ends the process when the time is over. Whatever happens in there,
an endless loop, a flood of prints, an exit, comes back here as a value.

Nothing in this module knows what a right answer is.
"""

__all__ = ["Limits", "Problem", "Result", "Run", "RunnerError", "run_answer"]

import contextlib
import json
import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import IO, Any, Literal

from course_lib.exercises.answer_source import StandAlone
from course_lib.exercises.plain_data import NotPlainError, decode, encode

Kind = Literal["value", "raised", "not plain", "out of time", "died"]
Launcher = Callable[[list[str]], list[str]]

TRIES = 3  # a process that does not start is our fault, and perhaps only bad luck
PRINT_HEAD = 2000  # characters of printed text that are kept
LINE_LIMIT = 8 << 20  # octets of one reply; a larger one is not an answer


@dataclass(frozen=True, slots=True)
class Limits:
    """How much an answer may use; seconds of wall time, octets of memory."""

    case_s: float = 2.0
    start_s: float = 30.0
    load_s: float = 10.0
    memory_octets: int = 2 << 30
    timeouts: int = 2  # after so many, the remaining cases are not tried


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that an answer raised: its kinds, most special first, and its line."""

    kinds: tuple[str, ...]
    message: str
    line: int | None

    @property
    def kind(self) -> str:
        """Return the name of the most special kind."""
        return self.kinds[0]


@dataclass(frozen=True, slots=True)
class Result:
    """What one case gave: a value, a problem, or neither in the time there was."""

    kind: Kind
    value: Any = None
    problem: Problem | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class Run:
    """All cases of one answer: results in order, and what it printed on the way.

    `load_problem` is set when the answer's source could not be run at all.
    """

    results: tuple[Result, ...]
    load_problem: Problem | None
    printed: str
    printed_octets: int


class RunnerError(RuntimeError):
    """The process for the answer could not be started: our fault, not the answer's."""


def run_answer(
    answer: StandAlone,
    function: str,
    cases: Sequence[Sequence[Any]],
    *,
    driver: str = "call",
    limits: Limits = Limits(),
    launcher: Launcher | None = None,
) -> Run:
    """Put every case to `function` of the answer and return what came out.

    `launcher` may wrap the command line, for example in a sandbox. After an
    endless loop the process is ended and a new one goes on with the next case.
    Raises `RunnerError` when no process could be started, in several tries.
    """
    for _ in range(TRIES - 1):
        with contextlib.suppress(RunnerError):  # the last try says why
            return _run_once(answer, function, cases, driver, limits, launcher)
    return _run_once(answer, function, cases, driver, limits, launcher)


def _run_once(
    answer: StandAlone,
    function: str,
    cases: Sequence[Sequence[Any]],
    driver: str,
    limits: Limits,
    launcher: Launcher | None,
) -> Run:
    results: list[Result] = []
    printed = _Printed()
    timeouts = 0
    while len(results) < len(cases):
        if timeouts >= limits.timeouts:
            results.append(Result("out of time", note="not tried after earlier time-outs"))
            continue
        request = {
            "before": answer.before,
            "source": answer.source,
            "function": function,
            "driver": driver,
            "cases": [[encode(item) for item in case] for case in cases[len(results) :]],
            "memory_octets": limits.memory_octets,
        }
        with _Process(request, printed, launcher) as process:
            problem = _load(process, limits)
            if problem is not None:
                return Run((), problem, printed.text, printed.octets)
            results += _results(process, len(cases) - len(results), limits)
        timeouts += results[-1].kind == "out of time"
    return Run(tuple(results), None, printed.text, printed.octets)


def _load(process: "_Process", limits: Limits) -> Problem | None:
    first = process.read(limits.start_s)
    if first is None:
        raise RunnerError(f"the process for the answer was not ready in {limits.start_s:g} s")
    if first != {"ready": True}:
        raise RunnerError(f"the process for the answer did not start: {process.last_words}")
    reply = process.read(limits.load_s)
    if reply is None:
        return Problem(("out of time",), f"running the cell took over {limits.load_s:g} s", None)
    if "ended" in reply:
        return Problem(("SystemExit",), f"the process ended: {reply['ended']}", None)
    load = reply.get("load")
    return None if load is None else _problem(load)


def _results(process: "_Process", wanted: int, limits: Limits) -> list[Result]:
    """Read results until all are there or one of them ended the process."""
    results: list[Result] = []
    while len(results) < wanted:
        reply = process.read(limits.case_s)
        if reply is None:
            return [*results, Result("out of time", note=f"no result within {limits.case_s:g} s")]
        result = _result(reply, len(results))
        results.append(result)
        if result.kind == "died":
            break
    return results


def _result(reply: dict[str, Any], number: int) -> Result:
    if "ended" in reply:
        return Result("died", note=reply["ended"])
    if reply.get("case") != number:
        return Result("not plain", note="a reply out of turn")
    if "raised" in reply:
        return Result("raised", problem=_problem(reply))
    if "not_plain" in reply:
        return Result("not plain", note=str(reply["not_plain"])[:400])
    try:
        return Result("value", value=decode(reply["value"]))
    except (KeyError, NotPlainError) as problem:
        return Result("not plain", note=f"a reply that cannot be read ({problem})")


def _problem(reply: Any) -> Problem:
    """Rebuild a problem from what may be anything: the child is not trusted."""
    data = reply if isinstance(reply, dict) else {}
    kinds = data.get("kinds") or [data.get("raised", "unknown")]
    line = data.get("line")
    return Problem(
        tuple(str(kind)[:80] for kind in kinds[:20]),
        str(data.get("message", ""))[:400],
        line if isinstance(line, int) else None,
    )


class _Printed:
    """The head of what an answer printed, and how much there was in all."""

    def __init__(self) -> None:
        self.text = ""
        self.octets = 0

    def take(self, chunk: bytes) -> None:
        self.octets += len(chunk)
        if len(self.text) < PRINT_HEAD:
            self.text = (self.text + chunk.decode("utf-8", "replace"))[:PRINT_HEAD]


class _Process:
    """One child process: a thread drains its prints, another reads its replies."""

    def __init__(
        self, request: dict[str, Any], printed: _Printed, launcher: Launcher | None
    ) -> None:
        command = [sys.executable, "-I", "-m", "course_lib.exercises.child"]
        self._replies: queue.Queue[dict[str, Any]] = queue.Queue()
        self._printed = printed
        try:
            self._process = subprocess.Popen(
                launcher(command) if launcher else command,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.PIPE,
                start_new_session=True,
                env=_bare_environment(),
            )
        except OSError as problem:
            raise RunnerError(f"the process for the answer did not start: {problem}") from problem
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        assert self._process.stderr is not None
        self._threads = [
            threading.Thread(target=self._drain, args=(self._process.stderr,), daemon=True),
            threading.Thread(target=self._listen, args=(self._process.stdout,), daemon=True),
        ]
        for thread in self._threads:
            thread.start()
        self._write(self._process.stdin, request)

    def __enter__(self) -> "_Process":
        return self

    def __exit__(self, *_: object) -> None:
        self._end()
        for thread in self._threads:
            thread.join(timeout=2)
        for stream in (self._process.stdin, self._process.stdout, self._process.stderr):
            if stream is not None:
                stream.close()

    @property
    def last_words(self) -> str:
        """Return the last line that the process wrote before it ended."""
        return (self._printed.text.strip().splitlines() or ["no message"])[-1]

    def read(self, wait_s: float) -> dict[str, Any] | None:
        """Return the next reply, `{"ended": why}` after the last, or None in time-out."""
        try:
            return self._replies.get(timeout=wait_s)
        except queue.Empty:
            return None

    def _write(self, stream: IO[bytes], request: dict[str, Any]) -> None:
        try:
            stream.write(json.dumps(request).encode())
            stream.close()
        except BrokenPipeError:
            return  # it ended before it read; `read` then says so

    def _drain(self, stream: IO[bytes]) -> None:
        while chunk := os.read(stream.fileno(), 1 << 16):
            self._printed.take(chunk)

    def _listen(self, stream: IO[bytes]) -> None:
        while line := stream.readline(LINE_LIMIT):
            try:
                reply = json.loads(line)
            except ValueError:
                reply = {"not_plain": "a reply that cannot be read"}
            self._replies.put(reply if isinstance(reply, dict) else {"not_plain": "no reply"})
        self._replies.put({"ended": self._why_ended()})

    def _why_ended(self) -> str:
        code = self._process.wait()
        if code < 0:
            return f"ended by signal {signal.Signals(-code).name}"
        return f"ended with exit status {code}"

    def _end(self) -> None:
        if os.name == "posix":
            with contextlib.suppress(ProcessLookupError):  # it has ended by itself
                os.killpg(self._process.pid, signal.SIGKILL)
        else:
            self._process.kill()
        self._process.wait()


def _bare_environment() -> dict[str, str]:
    """Return the few variables Python needs; nothing of the user's own passes."""
    kept = ("PATH", "SYSTEMROOT", "LANG", "LC_ALL", "TMPDIR", "TEMP")
    return {name: os.environ[name] for name in kept if name in os.environ}
