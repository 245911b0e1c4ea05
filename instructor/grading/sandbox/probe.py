"""Find out which walls of a sandbox hold, by trying to break each of them from inside.

Nothing is taken from what the sandbox says of itself. Each attempt runs as an answer
would, and what counts is what comes back: a file that was planted and could be read,
a service that could be reached, a process too many.

A wall around what is in reach must hold, or there is no grading. A limit on how much
may be used is only reported where it does not hold.
"""

__all__ = ["Wall", "probe", "wall_lines"]

import contextlib
import inspect
import os
import select
import socket
import tempfile
import time
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import instructor
from course_lib.runner.answer_process import Launcher, RunnerError, Started
from course_lib.runner.runner import Limits, Result, StandAlone, run_answer
from instructor.grading.sandbox import attempts
from instructor.grading.sandbox.inside.isolation import SCRATCH, Bounds
from instructor.grading.sandbox.sandbox import BOUNDS, Kind, Sandbox, open_sandbox
from instructor.grading.sandbox.walls import ENVIRONMENT

KNOWN_VARIABLES = {*ENVIRONMENT, "PWD", "LC_CTYPE", "OLDPWD", "SHLVL", "_"}
MIB = 1 << 20
SMALL = Bounds(memory_octets=160 * MIB)  # so that trying it does not burden the machine


@dataclass(frozen=True, slots=True)
class Wall:
    """One wall: what it keeps from what, whether it held, and what the attempt gave.

    `keeps_out` is true for what must be out of reach, false for how much may be used.
    """

    name: str
    held: bool
    detail: str
    keeps_out: bool


def probe(
    sandbox: Sandbox, bounds: Bounds = BOUNDS, workers: int = 2, *, limits: bool = True
) -> tuple[Wall, ...]:
    """Try to break every wall of the sandbox; without `limits` only those that keep things out.

    It takes a second or two, and most of that for the limits.
    """
    assert sandbox.launcher is not None
    tries = _Tries(sandbox.launcher, bounds, sandbox.kind)
    reach = (tries.network, tries.files, tries.writing, tries.leftovers, tries.environment,
             tries.descriptors, tries.other_processes, tries.user_namespaces, tries.capabilities,
             tries.system_calls, tries.survivors)  # fmt: skip
    amount = (tries.processor_time, tries.wall_time, tries.processes, tries.memory,
              tries.all_memory, tries.file_size, tries.scratch, tries.output,
              tries.replies)  # fmt: skip
    some, others = (amount[:2], amount[2:]) if limits else ((), ())
    order = (*some, *reach, *others)  # first those that take longest
    with ThreadPoolExecutor(workers) as pool:
        found = zip(order, pool.map(_carefully, order), strict=True)
        walls = [Wall(*finding, keeps_out=one in reach) for one, finding in found]
    return tuple(sorted(walls, key=lambda wall: not wall.keeps_out))


def wall_lines(walls: Sequence[Wall]) -> list[str]:
    """Say in a few lines what was tried and what held."""
    lines = []
    for what, keeps_out in (("out of reach", True), ("limited", False)):
        names = [wall.name for wall in walls if wall.keeps_out is keeps_out and wall.held]
        if names:
            lines.append(f"Tried and {what}: {', '.join(names)}.")
    lines += [f"NOT enforced: {wall.name} ({wall.detail})." for wall in walls if not wall.held]
    return lines


Finding = tuple[str, bool, str]


@dataclass(frozen=True, slots=True)
class _Tries:
    """The attempts on one sandbox; each returns the wall's name, whether it held, and a detail."""

    launcher: Launcher
    bounds: Bounds
    kind: Kind

    def network(self) -> Finding:
        name = f"{os.getpid()} {time.monotonic_ns()}"
        with contextlib.ExitStack() as services:
            by_address = services.enter_context(socket.create_server(("127.0.0.1", 0)))
            port = by_address.getsockname()[1]
            datagrams = services.enter_context(socket.socket(type=socket.SOCK_DGRAM))
            datagrams.bind(("127.0.0.1", port))
            by_name = services.enter_context(socket.socket(socket.AF_UNIX))
            by_name.bind("\0" + name)
            by_name.listen()
            found = self._nothing("the network", attempts.places_connected_to, port, name)
            arrived, _, _ = select.select([by_address, datagrams, by_name], [], [], 0)
        return found if not arrived else ("the network", False, "something arrived outside")

    def files(self) -> Finding:
        with tempfile.TemporaryDirectory() as folder:
            secret = Path(folder) / "gradebook.db"
            secret.write_text("a secret")
            paths = [folder, secret, Path(instructor.__file__).parent, Path.home() / ".bashrc",
                     "/etc/passwd", "/etc/shadow", "/sys", "/home", "/var"]  # fmt: skip
            return self._nothing(
                "files of this machine", attempts.readable_files, [str(path) for path in paths]
            )

    def writing(self) -> Finding:
        return self._nothing(
            "writing outside the scratch folder", attempts.places_written_to, SCRATCH
        )

    def leftovers(self) -> Finding:
        self._try(attempts.scratch_files)
        return self._nothing("files that other answers left", attempts.scratch_files)

    def environment(self) -> Finding:
        result = self._try(attempts.variables_in_sight)
        seen = None if result.kind != "value" else sorted({*result.value} - KNOWN_VARIABLES)
        return "the environment", seen == [], str(seen)

    def descriptors(self) -> Finding:
        with tempfile.TemporaryFile() as secret:
            os.set_inheritable(secret.fileno(), True)
            return self._nothing("open descriptors", attempts.open_descriptors)

    def other_processes(self) -> Finding:
        return self._nothing("other processes", attempts.processes_in_sight)

    def user_namespaces(self) -> Finding:
        return self._nothing("new user namespaces", attempts.new_user_namespaces)

    def capabilities(self) -> Finding:
        return self._nothing("capabilities", attempts.capabilities_left)

    def system_calls(self) -> Finding:
        return self._nothing("the kernel's keys and shared memory", attempts.system_calls_allowed)

    def survivors(self) -> Finding:
        """Whatever an answer starts inherits its pipes: as long as one lives, they have no end."""
        with contextlib.ExitStack() as ending:
            prints: list[int] = []

            def launcher() -> Started:
                started = self.launcher()
                prints.append(os.dup(started.prints.fileno()))
                ending.callback(os.close, prints[-1])
                return started

            result = replace(self, launcher=launcher)._try(attempts.leave_processes_behind)
            ready, _, _ = select.select(prints[-1:], [], [], 2.0)
            held = result.value == 3 and bool(ready) and os.read(prints[-1], 1) == b""
        return "living on after the end", held, "a process of an answer was still there"

    def processes(self) -> Finding:
        most = self.bounds.processes
        result = self._try(attempts.fork_until_refused, 4 * most)
        return f"{most} processes", _at_most(most, result), f"{result.value} more could be started"

    def processor_time(self) -> Finding:
        result = self._try(attempts.spin, limits=Limits(case_s=8, processor_s=1))
        return "processor time", result.kind == "died", f"{result.kind} {result.note}"

    def wall_time(self) -> Finding:
        start = time.monotonic()
        result = self._try(attempts.sleep, 60.0, limits=Limits(case_s=0.3))
        took = time.monotonic() - start
        return "wall time", result.kind == "out of time" and took < 10, f"it took {took:.1f} s"

    def memory(self) -> Finding:
        limits = Limits(case_s=8, memory_octets=256 * MIB)
        result = self._try(attempts.allocate, 512 * MIB, limits=limits)
        held = result.problem is not None and result.problem.kind == "MemoryError"
        return "memory of a process", held, f"{result.value} octets could be taken"

    def all_memory(self) -> Finding:
        """Try it on a small sandbox of the same kind."""
        with open_sandbox(1, SMALL, (self.kind,)) as small:
            if small.launcher is None:
                return "memory of all processes", False, small.detail
            result = _Tries(small.launcher, SMALL, small.kind)._try(
                attempts.allocate_in_children, 4, 64 * MIB, limits=Limits(case_s=8)
            )
        return "memory of all processes", "memory in all" in result.note, f"{result.kind}"

    def file_size(self) -> Finding:
        most = Limits().file_octets
        result = self._try(attempts.write_one_file, 2 * most)
        name = f"{most >> 20} MiB in a file"
        return name, _at_most(most, result), f"{result.value} octets could be written"

    def scratch(self) -> Finding:
        most = self.bounds.scratch_octets
        result = self._try(attempts.fill_scratch, 2 * most)
        name = f"{most >> 20} MiB in all files"
        return name, _at_most(most, result), f"{result.value} octets could be written"

    def output(self) -> Finding:
        limits = Limits(case_s=8, printed_octets=MIB)
        result = self._try(attempts.print_octets, 64 * MIB, limits=limits)
        return "printed octets", "printed more" in result.note, result.kind

    def replies(self) -> Finding:
        result = self._try(attempts.forge_replies, 100)
        return "replies", result.kind in ("not plain", "died"), f"{result.kind} {result.note}"

    def _nothing(self, name: str, attempt: Callable[..., Any], *given: Any) -> Finding:
        """Make an attempt that must come back with nothing."""
        result = self._try(attempt, *given)
        if result.kind == "value":
            return name, result.value == [], ", ".join(map(str, result.value))
        why = result.note if result.problem is None else result.problem.message
        return name, False, f"the attempt failed: {why}"

    def _try(
        self, attempt: Callable[..., Any], *given: Any, limits: Limits | None = None
    ) -> Result:
        run = run_answer(
            StandAlone(inspect.getsource(attempt), inspect.getsource(attempts)),
            attempt.__name__, [given], limits=limits or Limits(case_s=8), launcher=self.launcher,
        )  # fmt: skip
        if run.load_problem is not None:
            return Result("died", note=run.load_problem.message)
        return run.results[0]


def _at_most(most: int, result: Result) -> bool:
    return result.kind == "value" and result.value <= most


def _carefully(attempt: Callable[[], Finding]) -> Finding:
    try:
        return attempt()
    except RunnerError as problem:
        return attempt.__name__.replace("_", " "), False, str(problem)
