"""Workbooks as they came, kept on record: what is graded later need not hold all of the class.

Whoever grades one week's folder, or that of one student, hands over a part. All else that counted
before still counts: tables, pages and the report are about the whole class. So each workbook that
counts is on record, with what is needed to look at it again; no answer is run for that.
"""

__all__ = ["keep_seen", "with_seen"]

import json
import zlib
from collections.abc import Callable, Collection, Iterable
from dataclasses import replace
from pathlib import Path

from instructor.grading.intake.hand_ins import HandIn, Intake
from instructor.grading.intake.notebook_reader import Cell, Notebook
from instructor.grading.intake.which_counts import under_id, which_count
from instructor.grading.record.record import GradingRecord

Whose = Callable[[str], str]
EARLIER = Path("seen-before")  # where such a workbook lies, for the record: nowhere


def keep_seen(record: GradingRecord, hand_ins: Iterable[HandIn], whose: Whose) -> None:
    """Put the workbooks that count on record; each student's under one id.

    `whose` gives the student of an id, and '' of one that nobody knows.
    """
    counting = {(one.student, one.unit): _to_data(one) for one in hand_ins}
    record.keep_hand_ins((*key, data) for key, data in counting.items())
    record.drop_hand_ins(
        (student, unit)
        for student, unit, _ in record.hand_ins()
        if whose(student) not in ("", student) and (whose(student), unit) in counting
    )


def with_seen(
    intake: Intake, record: GradingRecord, units: Collection[str], whose: Whose
) -> tuple[Intake, int]:
    """Return all that was handed in by now, and how much of it is not among what lies here.

    What is here counts in the place of what the same student handed in before for the unit. Of what
    one student handed in before under several ids the last one counts, as `which_count` says; where
    nobody can tell which that is, a line asks.
    """
    here = {(one.student, one.unit) for one in intake.hand_ins}
    here |= {(one.student, one.unit) for one in intake.not_graded}
    seen = (
        _from_data(student, unit, data, whose(student) or student)
        for student, unit, data in record.hand_ins()
        if unit in units
    )
    counting, open_ones = which_count(
        (one for one in seen if (one.student, one.unit) not in here), "last"
    )
    both = sorted((*intake.hand_ins, *counting), key=lambda one: (one.unit, one.student))
    lines = (*intake.not_graded, *open_ones)
    return replace(intake, hand_ins=tuple(both), not_graded=lines), len(counting)


def _to_data(one: HandIn) -> bytes:
    """Pack a workbook; its path is left out, since folders are moved."""
    kept = {
        "cells": [[cell.kind, cell.name, cell.source] for cell in one.notebook.cells],
        "unit": one.notebook.unit, "release": one.notebook.release, "notes": one.notes,
        "handed_in": one.handed_in, "time_from": one.time_from, "where": one.shown,
        "changed": one.changed,
    }  # fmt: skip
    return zlib.compress(json.dumps(kept).encode())


def _from_data(seen: str, unit: str, data: bytes, student: str) -> HandIn:
    """Return a workbook that was handed in under the id `seen` as its student's."""
    kept = json.loads(zlib.decompress(data))
    notes = tuple(kept["notes"]) + ((under_id(seen),) if seen != student else ())
    changed, member = kept.get("changed", (0, 0))
    notebook = Notebook(tuple(Cell(*cell) for cell in kept["cells"]), kept["unit"], kept["release"])
    return HandIn(
        student, unit, EARLIER / seen / unit, notebook, notes, kept["handed_in"],
        (changed, member), kept["where"], time_from=kept["time_from"],
    )  # fmt: skip
