"""What became of an answer's process, in one line for the grader: said as a fact, never as blame.

Only words of this course's own are passed on. What an answer says itself may hold inputs that are
to stay secret, so an exception that is none of Python's own is not named.
"""

__all__ = ["what_happened"]

import builtins
import re

from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.runner import Problem, Result

# How a process ends, in the words of those who watch it (`runner/`, `grading/sandbox`).
ENDS = re.compile(
    r"ended by signal (?:SIG[A-Z0-9]+|\d+)(?: after [\d.]+ s of processor time)?"
    r"|ended with exit status \d+|ended together with its sandbox"
    r"|used more than [\d,]+ MiB of memory in all|used more memory than it may"
    r"|sent more replies than it was asked for|printed more than [\d,]+ octets"
    r"|did not end when it was told to|closed its line"
)
OUT_OF_TURN = "a reply out of turn"
NO_MEMORY = "it asked for more memory than an answer may have (MemoryError)"
OTHERWISE = "its process came to an end before all questions were put"


def what_happened(verdict: Verdict) -> str:
    """Return the line; '' where the outcome says all, as with a wrong value."""
    if verdict.outcome in (Outcome.RIGHT, Outcome.NO_ANSWER, Outcome.DAMAGED):
        return ""
    if verdict.seen is not None:
        return _of_result(verdict.seen)
    return "" if verdict.problem is None else _of_problem(verdict.problem)


def _of_result(seen: Result) -> str:
    if seen.kind == "died":
        known = ENDS.search(seen.note)
        return f"its process {known[0]}" if known else OTHERWISE
    if seen.kind == "out of time":
        return "it did not come back in time"
    if seen.kind == "not plain":
        if seen.note == OUT_OF_TURN:
            return "it sent a reply that nobody had asked for at that moment"
        return "what it returned is no plain data"
    if seen.kind == "changed":
        return "it changed what it was given"
    return "" if seen.problem is None else _of_problem(seen.problem)


def _of_problem(problem: Problem) -> str:
    kind = problem.kind
    if kind == "MemoryError":
        return NO_MEMORY
    if kind == "out of time":
        return "it did not come back in time"
    if kind == "SystemExit":
        known = ENDS.search(problem.message)
        return f"its process {known[0]}" if known else "it ended its own process"
    known_kind = getattr(builtins, kind, None)
    is_own = isinstance(known_kind, type) and issubclass(known_kind, BaseException)
    return f"it raised {kind}" if is_own else "it raised an exception of its own"
