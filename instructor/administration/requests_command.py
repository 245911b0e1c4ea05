"""`hopbyhop requests`: a student asks for another look, and what was answered is on record.

The table is `requests.csv` in the course folder. No request changes points by itself: that is done
by hand in the gradebook, by a corrected check, or by `--again`.
"""

__all__ = ["REQUESTS_FILE", "answer_request", "ask", "say_requests"]

from datetime import UTC, datetime
from pathlib import Path

from course_lib.commands.terminal_words import say, this_command, to_type
from course_lib.exercises.registry import exercise
from instructor.administration.standing import Standing, standing_of
from instructor.deadlines.counted import cell_of
from instructor.output.pages import number
from instructor.output.tables import write_table
from instructor.output.text import visible
from instructor.output.wrong_places import WrongPlaceError
from instructor.release.course_folder import named_course
from instructor.roster.odd_ids import proposals
from instructor.roster.typed_table import TypedTableError, read_table

REQUESTS_FILE = "requests.csv"
COLUMNS = (
    "number", "asked", "student", "exercise", "request", "points_then", "answered", "answer",
    "points_now",
)  # fmt: skip
STAFF_ALONE = 0o600
Row = dict[str, str]


def ask(folder: Path, student: str, exercise_id: str, text: str) -> None:
    """Put a request on record; say what the answer earned, and how to see what would change."""
    course, rows = named_course(folder), _rows(folder)
    if not text:
        raise WrongPlaceError("--ask: what does the student say? Add it with --text TEXT.")
    points = _points(standing_of(course), student, exercise_id)
    number_ = str(1 + max((int(row["number"]) for row in rows), default=0))
    rows.append({**dict.fromkeys(COLUMNS, ""), "number": number_, "asked": _now(),
                 "student": student, "exercise": exercise_id, "request": text,
                 "points_then": points})  # fmt: skip
    _write(folder, rows)
    what_if = "grade", "HAND-INS", "--course", folder, "--what-if", student
    answer = "requests", folder, "--answer", number_, "--text", "..."
    say(f"Request {number_} is on record: {student} has {points} in {exercise_id}. What running it "
        "again would give, with the checks as they are now, says\n"
        f"{to_type(this_command(), *what_if)}\nPut the answer on record with\n"
        f"{to_type(this_command(), *answer)}")  # fmt: skip


def answer_request(folder: Path, number_: str, text: str) -> None:
    """Put the answer to a request on record, with the points of then and now."""
    course, rows = named_course(folder), _rows(folder)
    if not text:
        raise WrongPlaceError(f"--answer {number_}: what is the answer? Add it with --text TEXT.")
    for row in rows:
        if row["number"] == number_:
            row["answered"], row["answer"] = _now(), text
            row["points_now"] = _points(standing_of(course), row["student"], row["exercise"])
            _write(folder, rows)
            points = f"{row['points_then']} then, {row['points_now']} now"
            say(f"The answer to request {number_} is on record: {row['student']}, {row['exercise']}"
                f", {points}.")  # fmt: skip
            return
    raise WrongPlaceError(f"--answer {number_}: there is no such request.")


def say_requests(folder: Path) -> None:
    """Print every request, open ones first."""
    named_course(folder)
    rows = _rows(folder)
    if not rows:
        words = "requests", folder, "--ask", "STUDENT", "1.2", "--text", "..."
        say("Nobody has asked for another look. To put a request on record, type\n"
            + to_type(this_command(), *words))  # fmt: skip
    for row in sorted(rows, key=lambda row: (bool(row["answered"]), int(row["number"]))):
        state = f"answered: {row['answer']}" if row["answered"] else "open"
        say(visible(f"{row['number']}. {row['student']}, {row['exercise']} ({row['points_then']}): "
                    f"{row['request']} - {state}"))  # fmt: skip


def _points(standing: Standing, student: str, exercise_id: str) -> str:
    """Return what the gradebook has now, as `1 of 2 points`; refuse who or what is not there."""
    try:
        unit = exercise(exercise_id).unit
    except LookupError:
        raise WrongPlaceError(f"--ask {exercise_id}: there is no such exercise.") from None
    for one in standing.earned:
        if (one.student, one.unit) == (student, unit) and cell_of(exercise_id) in one.cells:
            cell = one.cells[cell_of(exercise_id)]
            return f"{number(cell.points)} of {number(cell.of)} points"
    like = proposals(student, dict.fromkeys((one.student for one in standing.earned), ""))
    meant = f" Did you mean {' or '.join(one.student for one in like)}?" if like else ""
    raise WrongPlaceError(
        f"--ask {visible(student)}: the gradebook has no hand-in of this student for "
        f"{unit[:2]}.{meant}"
    )


def _rows(folder: Path) -> list[Row]:
    path = folder / REQUESTS_FILE
    try:
        return [dict(row.cells) for row in read_table(path, COLUMNS)] if path.exists() else []
    except TypedTableError as problem:
        raise WrongPlaceError(str(problem)) from problem


def _write(folder: Path, rows: list[Row]) -> None:
    table = [[row[name] for name in COLUMNS] for row in rows]
    write_table(folder / REQUESTS_FILE, COLUMNS, table, mode=STAFF_ALONE)


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="seconds")
