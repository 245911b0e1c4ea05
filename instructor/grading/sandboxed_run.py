"""Before a class is graded: open the sandbox, try its walls, and say what was found.

If there is no sandbox, or something of the grader's is within an answer's reach,
nothing runs, unless the grader says `--trusted`. A limit that does not hold is said
aloud, and grading goes on.
"""

__all__ = ["GradingRefusedError", "sandboxed_run"]

import contextlib
from collections.abc import Iterator

from rich.console import Console

from course_lib.exercises.answer_process import Launcher
from instructor.grading.sandbox import Sandbox, open_sandbox
from instructor.grading.sandbox_probe import probe, wall_lines


class GradingRefusedError(RuntimeError):
    """Grading cannot start as asked; the text says what to do."""


@contextlib.contextmanager
def sandboxed_run(
    console: Console, trusted: bool, workers: int | None
) -> Iterator[Launcher | None]:
    """Yield what starts answers in the sandbox; None if they run as the grader, as trusted.

    Raises `GradingRefusedError` if there is no sound sandbox and `trusted` was not said.
    """
    with open_sandbox(workers) as sandbox:
        problem = _problem(console, sandbox)
        if problem and not trusted:
            raise GradingRefusedError(
                f"Grading has not started: {problem}.\n"
                "Answers are programs that strangers wrote. To run them as yourself all the same, "
                "say --trusted."
            )
        if problem:
            console.print(f"No sandbox: {problem}. Answers run as you, as trusted.", markup=False)
        yield None if problem else sandbox.launcher
        if sandbox.kind == "warm":
            console.print(f"Processor time in the sandbox: {sandbox.processor_s():.2f} s.")


def _problem(console: Console, sandbox: Sandbox) -> str:
    """Return why answers must not run in this sandbox, or nothing; print what was tried."""
    if not sandbox.works:
        return sandbox.detail
    console.print(f"Sandbox: {sandbox.detail}.", markup=False)
    walls = probe(sandbox)
    for line in wall_lines(walls):
        console.print(line, markup=False)
    open_ones = [wall.name for wall in walls if wall.keeps_out and not wall.held]
    return f"the sandbox does not hold here ({', '.join(open_ones)})" if open_ones else ""
