"""Run an answer in a process of its own, and bring back plain data.

The judge's side of `child.py`. It sends inputs, reads one line per case, keeps
the time, and ends the process when the time is over. Whatever happens in there,
an endless loop, a flood of prints, an exit, comes back here as a value.
`answer_process.py` watches the process; who starts it, and where, is a `Launcher`.

Nothing in this module knows what a right answer is.
"""

__all__ = [
    "EncodedCases",
    "Launcher",
    "Limits",
    "Problem",
    "Result",
    "Run",
    "RunnerError",
    "StandAlone",
    "encoded",
    "limits_lacking",
    "run_answer",
]

import contextlib
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from course_lib.runner.answer_process import (
    AnswerProcess,
    Launcher,
    Printed,
    RunnerError,
    start_here,
)
from course_lib.runner.plain_data import NotPlainError, decode, encode, writable

Kind = Literal["value", "raised", "changed", "not plain", "out of time", "died"]

BELONGS = "which belongs to the caller"
_NOT_TRIED = "not tried"  # the note of a case that is left out after others went wrong
TRIES = 3  # a process that does not start is our fault, and perhaps only bad luck


@dataclass(frozen=True, slots=True)
class StandAlone:
    """An answer that needs no other cell.

    `source` is what of its cell it needs, at the lines where it stands there; `cell` is the whole
    cell. `before` and `after` hold statements of other cells that run before and after it. `added`
    names what these bring. `below` is what stands below the place that needs it, so that a run from
    the top would come to it too late. `missing` are names that were found nowhere, `unread` those
    of them that a cell would bind if it were Python.
    """

    source: str
    before: str = ""
    after: str = ""
    added: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    missing: tuple[str, ...] = ()
    unread: tuple[str, ...] = ()
    cell: str = ""

    @property
    def whole(self) -> str:
        """Return all of it as one text."""
        return "\n".join(part for part in (self.before, self.source, self.after) if part)


@dataclass(frozen=True, slots=True)
class Limits:
    """How much an answer may use: seconds of computing, octets.

    A start is timed by the clock on the wall; so is all else where nobody can tell how long a
    process has computed. Memory, processor time and the size of a file are limits for each process.
    """

    case_s: float = 2.0
    start_s: float = 120.0  # nothing of the answer runs yet: only a machine that is busy is slow
    load_s: float = 10.0
    processor_s: int | None = None  # None: as long as 25 cases at their full length
    memory_octets: int = 2 << 30
    file_octets: int = 16 << 20
    printed_octets: int = 4 << 30  # few are kept; in the time there is, honest code stays below
    timeouts: int = 2  # after so many, the remaining cases of the same parts are not tried
    ends: int = 5  # after so many, for a process that ends before its time, none is

    @property
    def whole_processor_s(self) -> int:
        """Return the processor time for the whole answer, in full seconds."""
        if self.processor_s is not None:
            return self.processor_s
        return math.ceil(self.load_s + 25 * self.case_s)


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that an answer raised: its kinds, most special first, and its line.

    `on_purpose` is set where a `raise` of the answer's own did it, and not Python.
    """

    kinds: tuple[str, ...]
    message: str
    line: int | None
    on_purpose: bool = False

    @property
    def kind(self) -> str:
        """Return the name of the most special kind."""
        return self.kinds[0]


@dataclass(frozen=True, slots=True)
class Result:
    """What one case gave: a value, a problem, or neither in the time there was.

    Where an argument was changed, whatever else was given does not count.
    """

    kind: Kind
    value: Any = None
    problem: Problem | None = None
    note: str = ""

    @property
    def was_tried(self) -> bool:
        """Tell whether the case was asked at all, or left out after others went wrong."""
        return not self.note.startswith(_NOT_TRIED)


@dataclass(frozen=True, slots=True)
class Run:
    """All cases of one answer: results in order, and what it printed on the way.

    `load_problem` is set when the answer's source could not be run at all.
    """

    results: tuple[Result, ...]
    load_problem: Problem | None
    printed: str
    printed_octets: int


class EncodedCases(tuple[Sequence[Any], ...]):
    """The arguments of cases as they are sent: for who puts the same cases to many answers."""


def encoded(cases: Iterable[Sequence[Any]]) -> EncodedCases:
    """Rewrite the arguments of cases as they are sent, once for any number of runs."""
    return EncodedCases([encode(item) for item in case] for case in cases)


def run_answer(
    answer: StandAlone,
    function: str,
    cases: Sequence[Sequence[Any]],
    *,
    driver: str = "call",
    limits: Limits = Limits(),
    launcher: Launcher | None = None,
    may_use: Sequence[str] = (),
    parts: Sequence[str] = (),
) -> Run:
    """Put every case to `function` of the answer and return what came out.

    `launcher` says who starts the process, for example in a sandbox. `may_use` names
    what the answer can import of the libraries that are out of its reach otherwise.
    After an endless loop the process is ended and a new one goes on with the next case.
    `parts` names for each case the part that it belongs to: after some time-outs, only parts
    that had none are still tried, and nothing of an answer that has never come back. Without it,
    all cases are one part.
    Raises `RunnerError` when no process could be started, in several tries.
    """
    asked = _Asked(
        answer, function, cases if isinstance(cases, EncodedCases) else encoded(cases), driver,
        limits, launcher or start_here, may_use, parts or [""] * len(cases),
    )  # fmt: skip
    for _ in range(TRIES - 1):
        with contextlib.suppress(RunnerError):  # the last try says why
            return _run_once(asked)
    return _run_once(asked)


def limits_lacking() -> list[str]:
    """Return what this system does not limit in the process of an answer: memory, perhaps."""
    asked = _Asked(
        StandAlone("def nothing(): ..."),
        "nothing",
        encoded([]),
        "call",
        Limits(),
        start_here,
        (),
        (),
    )
    with AnswerProcess(asked.request([]), Printed(1 << 20), start_here) as process:
        first = process.read_first(asked.limits.start_s) or {}
    return [str(name) for name in first.get("without", ["all that it uses"])]


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is put to an answer, and how."""

    answer: StandAlone
    function: str
    cases: EncodedCases
    driver: str
    limits: Limits
    launcher: Launcher
    may_use: Sequence[str]
    parts: Sequence[str]

    def request(self, places: Sequence[int]) -> dict[str, Any]:
        """Return what a process is told that shall try the cases at these places."""
        return {
            "before": self.answer.before,
            "source": self.answer.source,
            "after": self.answer.after,
            "function": self.function,
            "driver": self.driver,
            "may_use": list(self.may_use),
            "cases": [self.cases[place] for place in places],
            "processor_s": self.limits.whole_processor_s,
            "memory_octets": self.limits.memory_octets,
            "file_octets": self.limits.file_octets,
        }


def _run_once(asked: _Asked) -> Run:
    results: dict[int, Result] = {}
    printed = Printed(asked.limits.printed_octets)
    left = list(range(len(asked.cases)))
    late: list[int] = []  # cases that ran out of time
    ends = 0
    while left:
        with AnswerProcess(asked.request(left), printed, asked.launcher) as process:
            problem = _load(process, asked.limits)
            if problem is not None:
                return Run((), problem, printed.text, printed.octets)
            given = _results(process, len(left), asked.limits)
        results.update(zip(left, given, strict=False))
        last, left = left[len(given) - 1], left[len(given) :]
        if given[-1].kind == "out of time" and process.was_held_up and not late:
            results[last] = _alone(asked, last, printed)
        if results[last].kind == "out of time":
            late.append(last)
        ends += results[last].kind == "died"
        results.update(_given_up(asked, left, late, ends))
        left = [place for place in left if place not in results]
    in_order = tuple(results[place] for place in range(len(asked.cases)))
    return Run(in_order, None, printed.text, printed.octets)


def _alone(asked: _Asked, place: int, printed: Printed) -> Result:
    """Try one case once more, with a process to itself: others had the processor meanwhile."""
    with AnswerProcess(asked.request([place]), printed, asked.launcher) as process:
        if _load(process, asked.limits) is None:
            return _results(process, 1, asked.limits)[0]
    return Result("out of time", note="the cell did not run again")


def _given_up(
    asked: _Asked, left: Sequence[int], late: Sequence[int], ends: int
) -> dict[int, Result]:
    """Return the cases that are not tried any more, after so many that went wrong."""
    if ends >= asked.limits.ends:
        return dict.fromkeys(left, Result("died", note=f"{_NOT_TRIED} after earlier ends"))
    if len(late) < asked.limits.timeouts:
        return {}
    has_come_back = len(left) + len(late) < len(asked.cases)
    spoiled = {asked.parts[place] for place in (late if has_come_back else left)}
    not_tried = Result("out of time", note=f"{_NOT_TRIED} after earlier time-outs")
    return {place: not_tried for place in left if asked.parts[place] in spoiled}


def _load(process: AnswerProcess, limits: Limits) -> Problem | None:
    first = process.read_first(limits.start_s)
    if first is None:
        raise RunnerError(f"the process for the answer was not ready in {limits.start_s:g} s")
    if first.get("ready") is not True:
        raise RunnerError(f"the process for the answer did not start: {process.last_words}")
    reply = process.read(limits.load_s)
    if reply is None:
        return Problem(("out of time",), f"while the cell ran, {process.late}", None)
    if "ended" in reply:
        return Problem(("SystemExit",), f"the process ended: {_words(reply['ended'])}", None)
    load = reply.get("load")
    return None if load is None else _problem(load)


def _results(process: AnswerProcess, wanted: int, limits: Limits) -> list[Result]:
    """Read results until all are there or one of them ended the process."""
    results: list[Result] = []
    while len(results) < wanted:
        reply = process.read(limits.case_s)
        if reply is None:
            return [*results, Result("out of time", note=process.late)]
        result = _result(reply, len(results))
        results.append(result)
        if result.kind == "died":
            break
    return results


def _result(reply: dict[str, Any], number: int) -> Result:
    if "ended" in reply:
        return Result("died", note=_words(reply["ended"]))
    if reply.get("case") != number:
        return Result("not plain", note="a reply out of turn")
    if "raised" in reply:
        return Result("raised", problem=_problem(reply))
    if "changed" in reply:
        return Result("changed", note=f"`{_words(reply['changed'], 60)}`, {BELONGS}")
    if "not_plain" in reply:
        return Result("not plain", note=_words(reply["not_plain"]))
    try:
        return Result("value", value=decode(reply["value"]))
    except (KeyError, NotPlainError) as problem:
        return Result("not plain", note=f"a reply that cannot be read ({problem})")


def _problem(reply: Any) -> Problem:
    """Rebuild a problem from what may be anything: the child is not trusted."""
    data = reply if isinstance(reply, dict) else {}
    kinds = data.get("kinds")
    if not isinstance(kinds, list) or not kinds:
        kinds = [data.get("raised", "unknown")]
    line = data.get("line")
    return Problem(
        tuple(_words(kind, 80) for kind in kinds[:20]),
        _words(data.get("message", "")),
        line if type(line) is int and 0 < line < 1_000_000 else None,
        data.get("on_purpose") is True,
    )


def _words(data: Any, most: int = 400) -> str:
    """Return the head of a text from a reply; whatever is none is only named by its type."""
    return writable(data[:most]) if isinstance(data, str) else f"({type(data).__name__})"
