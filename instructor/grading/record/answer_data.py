"""Marked answers as text, and back: what comes back is equal to what went in.

Only decided answers are written down. Where nobody could tell, the fault may have
been ours, and the next run tries again.
"""

__all__ = ["answer_from_text", "answer_to_text"]

import json
from dataclasses import astuple
from typing import Any

from course_lib.exercises.registry import Exercise, case_from_data
from course_lib.exercises.verdict import Outcome, Verdict
from course_lib.runner.plain_data import decode, encode
from course_lib.runner.runner import Problem, Result
from instructor.grading.marked import MarkedAnswer
from instructor.units.build_cases import case_to_data

Data = dict[str, Any]


def answer_to_text(answer: MarkedAnswer) -> str:
    """Write a marked answer as one line of JSON."""
    verdict = answer.verdict
    return json.dumps({
        "outcome": verdict.outcome.value,
        "points": verdict.points,
        "earned": verdict.earned,
        "misconception": verdict.misconception,
        "either": verdict.either,
        "first_wrong": verdict.first_wrong and case_to_data(verdict.first_wrong),
        "seen": verdict.seen and _result_to_data(verdict.seen),
        "problem": verdict.problem and astuple(verdict.problem),
        "note": verdict.note,
        "counts": [verdict.right_cases, verdict.all_cases, verdict.printed_octets],
        "source": answer.source,
        "notes": answer.notes,
    })  # fmt: skip


def answer_from_text(item: Exercise, text: str) -> MarkedAnswer:
    """Rebuild what `answer_to_text` wrote about an answer to `item`."""
    data = json.loads(text)
    right, of, octets = data["counts"]
    verdict = Verdict(
        exercise=item,
        outcome=Outcome(data["outcome"]),
        points=data["points"],
        earned=tuple((name, got, points) for name, got, points in data["earned"]),
        misconception=data["misconception"],
        either=tuple(data["either"]),
        first_wrong=data["first_wrong"] and case_from_data(data["first_wrong"]),
        seen=data["seen"] and _result_from_data(data["seen"]),
        problem=_problem_from_data(data["problem"]),
        note=data["note"],
        right_cases=right,
        all_cases=of,
        printed_octets=octets,
    )
    return MarkedAnswer(verdict, data["source"], tuple(data["notes"]))


def _result_to_data(result: Result) -> Data:
    return {
        "kind": result.kind,
        "value": encode(result.value),
        "problem": result.problem and astuple(result.problem),
        "note": result.note,
    }


def _result_from_data(data: Data) -> Result:
    problem = _problem_from_data(data["problem"])
    return Result(data["kind"], decode(data["value"]), problem, data["note"])


def _problem_from_data(data: list[Any] | None) -> Problem | None:
    return Problem(tuple(data[0]), *data[1:]) if data else None
