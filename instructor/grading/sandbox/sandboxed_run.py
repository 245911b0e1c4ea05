"""Before answers run on a machine: open the sandbox, try its walls, and say what was found.

If there is no sandbox, or something of the grader's is within an answer's reach,
nothing runs, unless the grader says `--trusted`. A limit that does not hold is said
aloud, and grading goes on. What keeps things out is tried every time; limits, which take longest,
once for each start of the machine and version of the sandbox.
"""

__all__ = ["GradingRefusedError", "Look", "look_at", "sandbox_to_use"]

from pathlib import Path
from typing import NamedTuple

from rich.console import Console

from instructor.grading.sandbox.known_limits import keep_limits, known_limits
from instructor.grading.sandbox.probe import probe, wall_lines
from instructor.grading.sandbox.sandbox import Kind, Sandbox, open_sandbox

AT_A_TIME = 2  # walls that are tried at the same time


class GradingRefusedError(RuntimeError):
    """Grading cannot start as asked; the text says what to do."""


class Look(NamedTuple):
    """What was found about a sandbox: lines for people, and why answers must not run in it."""

    lines: tuple[str, ...]
    problem: str = ""


def look_at(sandbox: Sandbox, limits: Path | None = None) -> Look:
    """Try every wall of a sandbox; takes a second or two, and less with limits known before.

    `limits` is the file that keeps what was found about those.
    """
    if not sandbox.works:
        return Look((), sandbox.detail)
    known = () if limits is None else known_limits(limits, sandbox.kind)
    walls = (*probe(sandbox, limits=False), *known) if known else probe(sandbox)
    if limits is not None and not known:
        keep_limits(limits, sandbox.kind, [wall for wall in walls if not wall.keeps_out])
    lines = (f"Sandbox: {sandbox.detail}.", *wall_lines(walls))
    open_ones = [wall.name for wall in walls if wall.keeps_out and not wall.held]
    if open_ones:
        return Look(lines, f"the sandbox does not hold here ({', '.join(open_ones)})")
    return Look(lines)


def sandbox_to_use(
    console: Console, trusted: bool, limits: Path | None = None
) -> tuple[tuple[Kind, ...], float]:
    """Return the kind of sandbox that is sound here, or none if answers run as the grader.

    Also returned is the processor time in the sandbox that it took to find out, in seconds.
    Raises `GradingRefusedError` if there is no sound sandbox and `trusted` was not said.
    """
    with open_sandbox(AT_A_TIME) as sandbox:
        lines, problem = look_at(sandbox, limits)
        for line in lines:
            console.print(line, markup=False)
        if problem and not trusted:
            raise GradingRefusedError(
                f"Grading has not started: {problem}.\n"
                "Answers are programs that strangers wrote. To run them as yourself all the same, "
                "say --trusted."
            )
        if problem:
            console.print(f"No sandbox: {problem}. Answers run as you, as trusted.", markup=False)
        return () if problem else (sandbox.kind,), sandbox.processor_s()
