"""Let any octets be the replies of an answer's process, and see that the judge takes them.

The first octet chooses the exercise, and every other one is what comes through the pipe. Nothing
is started: a stand-in for the process holds the replies ready, and all of the judge's side is real,
from what reads the pipe to the pages that people get to see.
"""

import functools
import io
import json
import os
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any, cast

from course_lib.exercises.registry import Case, Exercise, Expected, all_exercises, public_cases
from course_lib.exercises.verdict import Verdict, judge
from course_lib.runner.answer_process import RunnerError
from course_lib.runner.plain_data import encode
from course_lib.runner.runner import Limits, Problem, Result, Run, StandAlone, run_answer
from fuzzed.mutations import ODD_PIECES
from fuzzed.time_taken import in_little_time
from instructor.grading.examiner import _lean, _without_secrets
from instructor.grading.marked import MarkedAnswer, MarkedHandIn
from instructor.grading.record.answer_data import answer_from_text, answer_to_text
from pages.what_people_see import look_at

KINDS = ("value", "raised", "changed", "not plain", "out of time", "died")
PLAIN = (type(None), bool, int, float, str, bytes, list, tuple, set, bytearray, dict)
KEPT_OCTETS = 100_000  # of what is put on record of one answer
PIECES = ODD_PIECES


class HeldReplies:
    """A process that has ended before anybody looked, and left these octets in its pipe."""

    def __init__(self, octets: bytes) -> None:
        self.requests: IO[bytes] = io.BytesIO()
        self.prints: IO[bytes] = Path(os.devnull).open("rb")  # noqa: SIM115 - the watcher closes it
        self.replies: IO[bytes] = cast(IO[bytes], tempfile.TemporaryFile(buffering=0))  # noqa: SIM115
        self.replies.write(octets)
        self.replies.seek(0)

    def pid(self) -> None:
        """There is no process."""

    def kill(self) -> None:
        """There is nothing to end."""

    def wait(self, most_s: float | None = None) -> str:
        return "ended with exit status 0"


def check(octets: bytes) -> Verdict | None:
    """Run, judge, show and keep one answer; None if its process never said that it was ready."""
    with in_little_time(octets):
        return _taken_in(octets)


def _taken_in(octets: bytes) -> Verdict | None:
    exercises = all_exercises()
    item = exercises[octets[0] % len(exercises)] if octets else exercises[0]
    try:
        run = _run(item, octets[1:])
    except RunnerError:  # whose text has the head of what was printed, and nothing of the replies
        return None
    _look_at_run(run)
    cases = public_cases(item.id)
    verdict = _lean(_without_secrets(judge(item, cases, run), judge(item, cases, run)))
    assert verdict.points is not None
    assert 0 <= verdict.points <= item.points
    answer = MarkedAnswer(verdict, "def f():\n    pass\n")
    _keep(item, answer)
    look_at(MarkedHandIn("alder", item.unit, (answer,)))
    return verdict


@functools.cache
def seeds() -> tuple[bytes, ...]:
    """Return what honest processes send: right answers, each known mistake, errors, odd values."""
    return tuple(
        bytes([place]) + replies
        for place, item in enumerate(all_exercises())
        for replies in _honest(public_cases(item.id))
    )


def transcript(replies: Sequence[Any], load: object = None) -> bytes:
    """Write what a process sends: that it is ready, how loading went, and a line for each case."""
    lines = [{"ready": True}, {"load": load}]
    lines += [{"case": place, **reply} for place, reply in enumerate(replies)]
    return b"".join(json.dumps(line).encode() + b"\n" for line in lines)


def _honest(cases: Sequence[Case]) -> list[bytes]:
    beliefs = list(dict.fromkeys(name for case in cases for name in case.variants))
    raised = {"raised": "KeyError", "kinds": ["KeyError", "LookupError"], "message": "x", "line": 3}
    values: list[Any] = ["text", 0.5, {(1, 2): b"E"}, [None, [True, "a"]], float("nan"), 1 << 90]
    return [
        transcript([_reply(case.expected) for case in cases]),
        *(transcript([_reply(case.variants[name]) for case in cases]) for name in beliefs[:3]),
        transcript([{"value": encode(values[n % 6])} for n in range(len(cases))]),
        transcript([raised if n % 2 else {"not_plain": "an object"} for n in range(len(cases))]),
        transcript([], {"raised": "SyntaxError", "message": "no", "line": 1}),
    ]


def _reply(expected: Expected) -> dict[str, Any]:
    if expected.raises:
        return {"raised": expected.raises, "kinds": [expected.raises, "Exception"],
                "message": "why", "line": 2}  # fmt: skip
    return {"value": encode(expected.value)}


def _run(item: Exercise, replies: bytes) -> Run:
    return run_answer(
        StandAlone("def f():\n    pass\n"), item.function,
        [case.arguments for case in public_cases(item.id)], driver=item.driver,
        limits=Limits(case_s=20.0, ends=2), launcher=lambda: HeldReplies(replies),
    )  # fmt: skip


def _look_at_run(run: Run) -> None:
    assert isinstance(run.load_problem, Problem | None)
    for result in run.results:
        assert isinstance(result, Result)
        assert result.kind in KINDS
        assert isinstance(result.note, str)
        assert type(result.value) in PLAIN
        encode(result.value)  # so it can be put on record: `decode` gives nothing else


def _keep(item: Exercise, answer: MarkedAnswer) -> None:
    text = answer_to_text(answer)
    assert len(text) <= KEPT_OCTETS, "a record without end"
    again = answer_from_text(item, text)
    assert repr(again) == repr(answer), "the record gives back another answer"
