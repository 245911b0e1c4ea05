"""Make a timetable from a request's file, and write it as a page, as text and as a calendar."""

__all__ = ["make_plan"]

import datetime
import json
from collections.abc import Mapping, Sequence
from pathlib import Path

from course_lib.exercises.whole_file import write_whole
from instructor.planning.find_timetable import find_timetable
from instructor.planning.request import Request, rest_of, still_binding
from instructor.planning.request_file import read_request
from instructor.planning.teaching_units import TeachingUnit, all_units
from instructor.planning.timetable import Timetable
from instructor.planning.timetable_calendar import as_calendar
from instructor.planning.timetable_model import Place
from instructor.planning.timetable_page import as_page
from instructor.planning.timetable_words import as_markdown, how_good
from instructor.release.workbook_files import ROOT

PAGE, WORDS, CALENDAR, KEPT = "timetable.html", "timetable.md", "timetable.ics", "timetable.json"


def make_plan(
    request_file: Path, out: Path, *, now: datetime.time | None = None, done: Sequence[str] = (),
    workbooks: Path = ROOT / "workbooks",
) -> str:  # fmt: skip
    """Write the timetable into a folder; return what to say of it.

    With `now`, it is about the rest of the day of the request that has not ended by then. Raises
    `RequestError`, `CannotFitError`, `UnitFactsError`, `ValueError`, each in words.
    """
    units = all_units(workbooks)
    whole = read_request(request_file, [unit.name for unit in units])
    request, wishes = whole, whole.wishes
    if now is not None or done:
        at = datetime.datetime.combine(
            whole.sessions[0].start.date(), now or datetime.time(), whole.sessions[0].start.tzinfo
        )
        request = rest_of(whole, at, _named(done, units))
        wishes = still_binding(request.wishes)
    earlier = _earlier(out / KEPT, request)
    timetable = find_timetable(request, units, wishes=wishes, earlier=earlier)
    out.mkdir(parents=True, exist_ok=True)
    write_whole(out / PAGE, as_page(request, units, timetable))
    write_whole(out / WORDS, as_markdown(request, units, timetable))
    made_at = datetime.datetime.now(datetime.UTC)
    write_whole(out / CALENDAR, as_calendar(request, units, timetable, made_at).decode())
    write_whole(out / KEPT, _as_text(request, timetable))
    return _said(timetable, earlier, out)


def _named(done: Sequence[str], units: Sequence[TeachingUnit]) -> frozenset[str]:
    found = set()
    for name in done:
        named = [unit.name for unit in units if name in (unit.name, unit.number)]
        if not named:
            raise ValueError(f"--done {name}: there is no such unit.")
        found.update(named)
    return frozenset(found)


def _as_text(request: Request, timetable: Timetable) -> str:
    """Keep in which session each block lies, by when that begins: sessions may be added."""
    rows = [[unit, place, request.sessions[session].start.isoformat()]
            for (unit, place), session in sorted(timetable.blocks.items())]  # fmt: skip
    return json.dumps(rows, indent=0) + "\n"


def _earlier(path: Path, request: Request) -> Mapping[Place, int] | None:
    """Return where blocks lay before, as far as there are such sessions still; None for nothing."""
    if not path.exists():
        return None
    by_start = {one.start.isoformat(): place for place, one in enumerate(request.sessions)}
    rows = json.loads(path.read_text(encoding="utf-8"))
    return {(unit, place): by_start[start] for unit, place, start in rows if start in by_start}


def _said(timetable: Timetable, earlier: Mapping[Place, int] | None, out: Path) -> str:
    lines = [how_good(timetable)]
    if earlier is not None:
        same = sum(earlier.get(place) == session for place, session in timetable.blocks.items())
        lines.append(f"{same} of {len(timetable.blocks)} blocks lie where they lay before.")
    for one in timetable.left_out:
        lines.append(f"{one.unit}: {one.what}; {one.why}.")
    lines += ["", f"Page:     {out / PAGE}", f"Text:     {out / WORDS}",
              f"Calendar: {out / CALENDAR}"]  # fmt: skip
    return "\n".join(lines)
