"""When each workbook was handed in, as the upload page's own report says: `handed-in.csv`.

Files side by side carry no time that can be believed: what stands in a file or an archive
comes from the student's clock. So whoever grades may put this table beside them:

    student,unit,time
    alder,01-frames-and-headers,2026-05-04T14:00:00+02:00

The three columns may stand in any order and among others; semicolons and tabs will do for
commas. A time is written as `deadlines.moments` says. A row that cannot be used gets a line and
gives no time: whether the hand-in was late then says another source, or a person.
"""

__all__ = ["REPORT_FILE", "Report", "read_report", "rows_without_hand_in"]

import csv
import datetime
import io
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from instructor.deadlines.moments import read_moment
from instructor.grading.intake.archives import shown

REPORT_FILE = "handed-in.csv"
REPORT_LIMIT = 16 << 20  # octets
COLUMNS = ("student", "unit", "time")
DELIMITERS = ",;\t"
NO_TIME = "so the table gives no time here"

Key = tuple[str, str]  # student, unit


class Report(NamedTuple):
    """Times as the gradebook reads them, by student and unit; `problems` are lines for people."""

    times: Mapping[Key, str] = {}
    rows: Mapping[Key, int] = {}
    problems: Sequence[str] = ()


def read_report(octets: bytes, units: Collection[str]) -> Report:
    """Read the table; whatever is wrong with it becomes a line."""
    if len(octets) > REPORT_LIMIT:
        return Report(problems=[f"larger than {REPORT_LIMIT >> 20} MiB, so it was not read"])
    try:
        text = octets.decode("utf-8-sig")
        table = list(_table(text))
    except UnicodeDecodeError as problem:
        return Report(problems=[f"not UTF-8 text (octet {problem.start}), so it was not read"])
    except csv.Error as problem:
        return Report(problems=[f"not a table ({problem}), so it was not read"])
    if not table:
        return Report(problems=[f"it needs the columns {', '.join(COLUMNS)} in its first row"])
    return _report(table[1:], [table[0][1].index(name) for name in COLUMNS], units)


def rows_without_hand_in(report: Report, there: Collection[Key]) -> Iterator[str]:
    """Yield a line for each row without a workbook, of the units of which there are any."""
    units = {unit for _, unit in there}
    for (student, unit), row in report.rows.items():
        if unit in units and (student, unit) not in there:
            yield f"row {row}: no workbook of {shown(student)} for {unit} is here"


def _table(text: str) -> Iterator[tuple[int, list[str]]]:
    """Yield rows with their numbers, the one with the columns' names first; none without it."""
    first = text.partition("\n")[0]
    for delimiter in DELIMITERS:
        names = [name.strip().lower() for name in next(csv.reader([first], delimiter=delimiter))]
        if set(COLUMNS) <= set(names):
            reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)
            next(reader)
            yield 1, names
            for row in reader:
                yield reader.line_num, [cell.strip() for cell in row]
            return


def _report(
    table: Sequence[tuple[int, list[str]]], places: Sequence[int], units: Collection[str]
) -> Report:
    times: dict[Key, datetime.datetime] = {}
    rows: dict[Key, int] = {}
    problems: list[str] = []
    for number, row in table:
        if not any(row):
            continue
        try:
            student, unit, time = _row(row, places, units)
        except ValueError as problem:
            problems.append(f"row {number}: {problem}; {NO_TIME}")
            continue
        key = (student, unit)
        if times.get(key, time) != time:
            problems.append(f"row {number}: another time for {shown(student)} and {unit} than in"
                            f" row {rows[key]}; the later one counts")  # fmt: skip
        times[key] = max(time, times.get(key, time))
        rows[key] = number
    return Report({key: _in_utc(time) for key, time in times.items()}, rows, problems)


def _row(
    row: Sequence[str], places: Sequence[int], units: Collection[str]
) -> tuple[str, str, datetime.datetime]:
    """Return student, unit and time of a row; raise `ValueError` in words."""
    if len(row) <= max(places):
        raise ValueError(f"{len(row)} cells, fewer than the first row names")
    student, unit, text = (row[place] for place in places)
    if not student:
        raise ValueError("no student's id")
    if unit not in units:
        raise ValueError(f"unit {shown(unit)!r} is not part of this class")
    return student, unit, read_moment(shown(text) if text else text).astimezone(datetime.UTC)


def _in_utc(time: datetime.datetime) -> str:
    """Write a time as the gradebook's tools do."""
    return f"{time.replace(tzinfo=None).isoformat(sep=' ')} UTC"
