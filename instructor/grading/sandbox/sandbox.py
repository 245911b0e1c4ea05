"""The sandbox in which answers run: the best that this machine can make, or none.

* *Warm*: one sandbox per worker, in which a warm process forks an isolated process
  for each answer. A start costs about a millisecond.
* *Cold*: a sandbox made afresh for each answer, where the system lets a sandbox be
  made but no namespaces inside it. Just as tight, and slower.
* None: then the grader is told why and what to do, and goes on only with `--trusted`.
"""

__all__ = ["MEND", "Job", "Kind", "Sandbox", "open_sandbox"]

import contextlib
import json
import os
import shutil
import sys
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from course_lib.runner.answer_process import Launcher, RunnerError, Started
from course_lib.runner.runner import StandAlone, run_answer
from instructor.grading.sandbox.inside.isolation import Bounds
from instructor.grading.sandbox.memory import WatchedChild
from instructor.grading.sandbox.walls import user_namespace, walls
from instructor.grading.sandbox.warm_client import ANSWERS, WarmSandboxes

MEND = (
    "install bubblewrap (on Debian: apt-get install bubblewrap) and allow user namespaces "
    "(sysctl kernel.unprivileged_userns_clone=1 or kernel.apparmor_restrict_unprivileged_userns=0, "
    "where the system has these), or grade on a machine where both are there"
)
# What answers commonly import: a fork has it at no cost.
IMPORTED = (
    "bisect", "collections", "copy", "dataclasses", "decimal", "enum", "fractions", "functools",
    "heapq", "inspect", "ipaddress", "itertools", "math", "operator", "random", "re", "statistics",
    "string", "struct", "textwrap", "typing", "warnings", "numpy",
)  # fmt: skip


BOUNDS = Bounds()
Kind = Literal["warm", "cold", "none"]


@dataclass(frozen=True, slots=True)
class Sandbox:
    """Where answers can be shut in, and how. `launcher` is None if nowhere; `detail` says why."""

    kind: Kind
    launcher: Launcher | None
    detail: str
    processor_s: Callable[[], float] = lambda: 0.0  # used in there so far; 0 if nobody can tell

    @property
    def works(self) -> bool:
        """Tell whether there is a sandbox."""
        return self.launcher is not None


class Job(NamedTuple):
    """What each start in a sandbox is for: a program, what it commonly imports, and a trial of it.

    `problem_of` starts one; it returns why that does not work, or nothing.
    """

    program: str
    imported: Sequence[str]
    problem_of: Callable[[Launcher], str]


@contextlib.contextmanager
def open_sandbox(
    workers: int | None = None, bounds: Bounds = BOUNDS, kinds: Sequence[Kind] = ("warm", "cold"),
    job: Job | None = None,
) -> Iterator[Sandbox]:  # fmt: skip
    """Open the best sandbox that works here, for so many answers at a time (default: one a core).

    `kinds` are tried in turn; what works is found out by starting an answer (or another `job`).
    """
    program, imported, problem_of = job or Job(ANSWERS, IMPORTED, _problem_of)
    if shutil.which("bwrap") is None:
        yield Sandbox("none", None, f"there is no bubblewrap: {MEND}")
        return
    warm = WarmSandboxes(workers or os.cpu_count() or 1, bounds, imported, program)
    launchers: dict[Kind, Launcher] = {
        "warm": warm.launch,
        "cold": lambda: cold_start(bounds, program),
    }
    problems: list[str] = []
    try:
        for kind in kinds:
            problem = problem_of(launchers[kind])
            if not problem:
                detail = _detail(kind, problems)
                yield Sandbox(kind, launchers[kind], detail, lambda: sum(warm.used_s.values()))
                return
            problems.append(problem)
        yield Sandbox("none", None, f"no sandbox starts here ({'; '.join(problems)}): {MEND}")
    finally:
        warm.close()


def cold_start(bounds: Bounds, program: str) -> Started:
    """Start an answer in a sandbox of its own; raise `RunnerError` if there is none to be had."""
    with user_namespace() as users:
        command = [*walls(users, bounds.scratch_octets), sys.executable, "-s", "-P", "-m"]
        command += ["instructor.grading.sandbox.inside.cold_start", json.dumps(bounds), program]
        keep = [] if users is None else [users]
        return WatchedChild(command, {}, keep, bounds.memory_octets)


def _problem_of(launcher: Launcher) -> str:
    """Start an answer; return why that does not work, or nothing."""
    try:
        run = run_answer(StandAlone("def f():\n    return 1\n"), "f", [[]], launcher=launcher)
    except RunnerError as problem:
        return str(problem)
    return "" if run.load_problem is None and run.results[0].value == 1 else "an answer fails there"


def _detail(kind: Kind, problems: Sequence[str]) -> str:
    if kind == "warm":
        return "a fresh isolated process for each answer, forked from a warm one"
    why = f" (no warm start: {problems[0]})" if problems else ""
    return f"a fresh sandbox for each answer, which is slower{why}"
