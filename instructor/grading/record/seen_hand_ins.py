"""Workbooks as they came, kept on record: what is graded later need not hold all of the class.

Whoever grades one week's folder, or that of one student, hands over a part. All else that counted
before still counts: tables, pages and the report are about the whole class. So each workbook that
counts is on record, with what is needed to look at it again; no answer is run for that.
"""

__all__ = ["keep_seen", "with_seen"]

import json
import zlib
from collections.abc import Collection, Iterable
from dataclasses import replace
from pathlib import Path

from instructor.grading.intake.hand_ins import HandIn, Intake
from instructor.grading.intake.notebook_reader import Cell, Notebook
from instructor.grading.record.record import GradingRecord

EARLIER = Path("seen-before")  # where such a workbook lies, for the record: nowhere


def keep_seen(record: GradingRecord, hand_ins: Iterable[HandIn]) -> None:
    """Put the workbooks that count on record."""
    record.keep_hand_ins((one.student, one.unit, _to_data(one)) for one in hand_ins)


def with_seen(intake: Intake, record: GradingRecord, units: Collection[str]) -> tuple[Intake, int]:
    """Return all that was handed in by now, and how much of it is not among what lies here.

    What is here counts in the place of what the same student handed in before for the unit.
    """
    here = {(one.student, one.unit) for one in intake.hand_ins}
    here |= {(one.student, one.unit) for one in intake.not_graded}
    seen = [
        _from_data(student, unit, data)
        for student, unit, data in record.hand_ins()
        if (student, unit) not in here and unit in units
    ]
    both = sorted((*intake.hand_ins, *seen), key=lambda one: (one.unit, one.student))
    return replace(intake, hand_ins=tuple(both)), len(seen)


def _to_data(one: HandIn) -> bytes:
    """Pack a workbook; its path is left out, since folders are moved."""
    kept = {
        "cells": [[cell.kind, cell.name, cell.source] for cell in one.notebook.cells],
        "unit": one.notebook.unit, "release": one.notebook.release, "notes": one.notes,
        "handed_in": one.handed_in, "time_from": one.time_from, "where": one.shown,
    }  # fmt: skip
    return zlib.compress(json.dumps(kept).encode())


def _from_data(student: str, unit: str, data: bytes) -> HandIn:
    kept = json.loads(zlib.decompress(data))
    notebook = Notebook(tuple(Cell(*cell) for cell in kept["cells"]), kept["unit"], kept["release"])
    return HandIn(
        student, unit, EARLIER / student / unit, notebook, tuple(kept["notes"]),
        kept["handed_in"], where=kept["where"], time_from=kept["time_from"],
    )  # fmt: skip
