"""What is asked for is read strictly, and a timetable comes out as page, text and calendar."""

import datetime
import re

import pytest
import vobject

from course_lib.cli import main
from instructor.planning.find_timetable import find_timetable
from instructor.planning.request import rest_of, still_binding
from instructor.planning.request_file import RequestError, read_request
from instructor.planning.teaching_units import UnitFactsError, all_units, unit_from
from instructor.planning.timetable_calendar import as_calendar
from instructor.release.workbook_files import ROOT, read_workbook
from timetables.requests import request_for, sessions_on

UNITS = all_units(ROOT / "workbooks")
NAMES = [unit.name for unit in UNITS]
EXAMPLES = sorted((ROOT / "instructor" / "planning" / "examples").glob("*.toml"))
DAY = """
title = "A short day"
time_zone = "Europe/Lisbon"
people = 13
machines = 7
known = ["01"]
[[days]]
date = 2026-10-24
weeks = 2
sessions = ["09:00-10:30", "11:00-12:30"]
[wishes]
must = ["04"]
[habits]
slack = 0.2
"""


def read(text, tmp_path):
    path = tmp_path / "day.toml"
    path.write_text(text)
    return read_request(path, NAMES)


def test_minutes_of_parts_are_those_that_the_workbook_gives():
    for unit in UNITS:
        told = [cell.source for cell in read_workbook(unit.name).cells]
        for block in unit.blocks:
            for piece in block.pieces:
                if piece.name.startswith("exercise "):
                    number = piece.name.removeprefix("exercise ")
                    (text,) = (one for one in told if f"### Exercise {number}:" in one)
                    minutes = int(re.search(r"points?, about (\d+) minutes", text)[1])
                    assert abs(piece.minutes - minutes) < 5, number  # ends are at fives


def test_a_request_is_read(tmp_path):
    request = read(DAY, tmp_path)
    assert [str(one.start) for one in request.sessions] == [
        "2026-10-24 09:00:00+01:00", "2026-10-24 11:00:00+01:00",
        "2026-10-31 09:00:00+00:00", "2026-10-31 11:00:00+00:00",  # the clock was set back
    ]  # fmt: skip
    assert request.turns == 1  # 13 people: 7 machines in pairs, one left over
    assert request.known == {NAMES[0]}
    assert request.habits.slack == 0.2


WRONG = {
    "no unit": ('must = ["04"]', 'must = ["77"]', "must: there is no unit '77'"),
    "no word": ("[wishes]", "[wishes]\nwant = []", "[wishes]: 'want' is unknown"),
    "no zone": ("Europe/Lisbon", "Ferry/North", "'Ferry/North' is no name of a time zone"),
    "no time": ("11:00-12:30", "11-12:30:99", "is not two times, as 09:00-10:30 is"),
    "backwards": ("11:00-12:30", "12:30-11:00", "ends before it begins"),
    "at one time": ("11:00-12:30", "10:00-12:30", "two sessions are at one time"),
    "a wish twice": ('must = ["04"]', 'must = ["04"]\navoid = ["04"]', "stands twice"),
    "no share": ("slack = 0.2", "slack = 20", "slack = 20 is no share from 0 to below 1"),
    "no habit": ("slack", "slak", "[habits]: 'slak' is unknown"),
    "nobody": ("people = 13", "people = 0", "people = 0 is no whole number from 1 on"),
    "no date": ("date = 2026-10-24", "date = 24", "[[days]] date = 24 is no date"),
}


@pytest.mark.parametrize("case", WRONG)
def test_what_makes_no_sense_is_named(case, tmp_path):
    old, new, said = WRONG[case]
    assert old in DAY
    with pytest.raises(RequestError) as told:
        read(DAY.replace(old, new), tmp_path)
    assert said in str(told.value)
    assert "day.toml" in str(told.value)


def test_a_unit_that_cannot_be_planned_says_so():
    facts = {"title": "X", "minutes": {"talk": 45, "demo": 5, "exercises": 20}, "parts": []}
    with pytest.raises(UnitFactsError, match="only 1 parts with work"):
        unit_from("13-x", facts)
    with pytest.raises(UnitFactsError, match="the parts take 30 minutes"):
        unit_from("13-x", facts | {"parts": [{"exercise": "13.1", "minutes": 30}]})


def test_another_program_reads_the_calendar_with_the_same_times_over_a_clock_change(tmp_path):
    """It takes the zone from the rules in the file itself (RFC 5545, section 3.6.5)."""
    request = read(DAY, tmp_path)
    timetable = find_timetable(request, UNITS, search_s=5)
    octets = as_calendar(request, UNITS, timetable, datetime.datetime.now(datetime.UTC))
    calendar = vobject.readOne(octets.decode())
    calendar.validate()
    assert calendar.vtimezone.tzid.value == "Europe/Lisbon"
    events = calendar.vevent_list
    assert len({event.uid.value for event in events}) == len(events)
    titles = {f"{unit.number} {unit.title}": unit.name for unit in UNITS}
    entries = [entry for entry in timetable.entries if entry.kind != "free"]
    offsets = set()
    for event in events:
        start, end = event.dtstart.value, event.dtend.value
        unit = titles.get(event.summary.value, "")
        inside = [entry for entry in entries if entry.unit == unit and start <= entry.start < end]
        assert (inside[0].start, max(entry.end for entry in inside)) == (start, end)
        offsets.add((start.day, start.utcoffset() / datetime.timedelta(hours=1)))
        entries = [entry for entry in entries if entry not in inside]
    assert entries == []  # every entry is in an event
    assert offsets == {(24, 1), (31, 0)}  # the clock was set back on 25 October 2026


def test_a_late_day_is_planned_anew_and_says_what_is_cut():
    wishes = (f"must {NAMES[0]}", f"must {NAMES[3]}", f"must {NAMES[5]}", f"avoid {NAMES[8]}")
    request = request_for(sessions_on(0), *wishes)
    now = request.sessions[2].start + datetime.timedelta(minutes=50)
    rest = rest_of(request, now, {NAMES[0]})
    timetable = find_timetable(rest, UNITS, wishes=still_binding(rest.wishes), search_s=5)
    assert min(entry.start for entry in timetable.entries) == now
    assert all(entry.unit not in (NAMES[0], NAMES[8]) for entry in timetable.entries)
    cut = {one.unit: one.what for one in timetable.left_out}
    assert cut[NAMES[5]] == "not taught"
    why = {one.unit: one.why for one in timetable.left_out}
    assert why[NAMES[5]].endswith("and time for what it needs: 02")
    assert why[NAMES[8]] == "it is not wanted"
    assert all(why.values())
    with pytest.raises(ValueError, match="the last session was over"):
        rest_of(request, request.sessions[-1].end, ())


def test_the_command_writes_all_three_and_keeps_to_what_was(tmp_path, capsys):
    out = tmp_path / "out"
    request = tmp_path / "taster.toml"
    request.write_text(next(one for one in EXAMPLES if one.stem == "taster").read_text())
    assert main(["plan", str(request), "--out", str(out)]) == 0
    first = capsys.readouterr().out
    assert "that is proved" in first
    assert max(map(len, first.splitlines())) <= 80
    page = (out / "timetable.html").read_text()
    assert "A taster" in page
    assert "<script" not in page
    assert main(["plan", str(request), "--out", str(out)]) == 0
    told = capsys.readouterr().out
    blocks = told.partition(" blocks lie")[0].rpartition("\n")[2].split(" of ")
    assert blocks[0] == blocks[1]
    request.write_text(request.read_text().replace('show = ["10"]', 'must = ["12"]'))
    assert main(["plan", str(request), "--out", str(out)]) == 1


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_can_be_read(example):
    assert read_request(example, NAMES).sessions
