"""Time and points in, points out: a table worked by hand, and the laws that hold for every rule."""

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from instructor.deadlines.class_rules import ClassRules, Excuse
from instructor.deadlines.counted import Arrival, Cell, Earned, counted
from instructor.deadlines.late_rule import LateRule
from instructor.deadlines.moments import read_moment
from instructor.deadlines.rule_words import lateness_in_words

DUE = read_moment("2026-10-23T18:00:00+02:00")
RULE = LateRule({1: 0.9, 2: 0.8, 4: 0.5}, grace_s=600, last_day=5)
UNITS = ("01-a", "02-b", "03-c")
CELLS = {"mark-1-1": Cell(2, 4), "mark-1-2": Cell(6, 6)}


def earned(unit="01-a", cells=CELLS, student="alder", is_there=True):
    return Earned(student, unit, cells, is_there)


def one_counted(came, rules, cells=CELLS):
    arrivals = {("alder", "01-a"): Arrival(came, "timestamp.txt")} if came else {}
    (found,) = counted([earned(cells=cells)], rules, arrivals)
    return found


# Worked by hand: 8 points of 10. The clocks of central Europe go back in the night of 25 October
# 2026, so two days after Friday, 18:00 +02:00, are over on Sunday, 17:00 +01:00.
TABLE = [
    ("2026-10-23T17:59:59+02:00", 0, 8.0),
    ("2026-10-23T18:00:00+02:00", 0, 8.0),
    ("2026-10-23T18:10:00+02:00", 0, 8.0),  # the last moment of the grace
    ("2026-10-23T18:10:01+02:00", 1, 7.2),
    ("2026-10-23T16:00:00Z", 0, 8.0),  # the same moment as the deadline, on another clock
    ("2026-10-24T01:30:00+09:00", 1, 7.2),  # half past six in the evening there
    ("2026-10-24T18:10:00+02:00", 1, 7.2),  # the grace moves the end of every day
    ("2026-10-24T18:10:01+02:00", 2, 6.4),
    ("2026-10-25T17:10:00+01:00", 2, 6.4),  # 48 hours and 10 minutes: the night had an hour more
    ("2026-10-25T18:00:00+01:00", 3, 6.4),
    ("2026-10-27T12:00:00+01:00", 4, 4.0),
    ("2026-10-28T17:10:00+01:00", 5, 4.0),
    ("2026-10-28T17:10:01+01:00", 6, 0.0),  # after the last day
]


@pytest.mark.parametrize(("came", "days", "points"), TABLE)
def test_days_and_points_are_as_worked_by_hand(came, days, points):
    found = one_counted(read_moment(came), ClassRules({"01-a": DUE}, RULE))
    assert (found.days, found.points, found.raw, found.of) == (days, pytest.approx(points), 8, 10)
    assert found.lost == pytest.approx(8 - points)


def test_free_days_are_spent_from_deadline_to_deadline():
    due = {unit: DUE + timedelta(days=7 * place) for place, unit in enumerate(UNITS)}
    rules = ClassRules(due, LateRule({1: 0.9, 2: 0.8, 3: 0.7}, free_days=3))
    came = {
        ("alder", unit): Arrival(due[unit] + timedelta(days=2), "timestamp.txt") for unit in UNITS
    }
    found = counted([earned(unit) for unit in UNITS], rules, came)
    assert [(one.days, one.free, one.share) for one in found] == [
        (2, 2, 1.0), (2, 1, 0.9), (2, 0, 0.8),
    ]  # fmt: skip


def test_a_time_that_is_not_known_takes_nothing_off_and_asks():
    rules = ClassRules({"01-a": DUE}, RULE)
    found = one_counted(None, rules)
    assert (found.points, found.is_open) == (8, True)
    assert "a person has to say" in lateness_in_words(found)
    late = DUE + timedelta(days=1)
    told = ClassRules({"01-a": DUE}, RULE, handed_in={("alder", "01-a"): late})
    found = one_counted(None, told)
    assert (found.points, found.is_open) == (pytest.approx(7.2), False)
    assert "as a person said" in lateness_in_words(found)


@pytest.mark.parametrize(("source", "is_open"), [("the file", True), ("handed-in.csv", False)])
def test_only_times_that_the_class_believes_are_taken(source, is_open):
    arrivals = {("alder", "01-a"): Arrival(DUE + timedelta(days=1), source)}
    (found,) = counted([earned()], ClassRules({"01-a": DUE}, RULE), arrivals)
    assert found.is_open == is_open
    believing = ClassRules({"01-a": DUE}, RULE, believed=("the file", "handed-in.csv"))
    assert counted([earned()], believing, arrivals)[0].days == 1


EXCUSED = [
    ("1.1", "left out", 6, 6),
    ("1.1", "in the maximum", 8, 10),
    ("mark-1-2", "left out", 2, 4),
    ("", "left out", 0, 0),
    ("", "in the maximum", 8, 10),
    ("9.9", "left out", 8, 10),  # not of this unit
]


@pytest.mark.parametrize(("exercise", "counts", "points", "of"), EXCUSED)
def test_an_excuse_takes_points_and_maximum_out_or_neither(exercise, counts, points, of):
    rules = ClassRules(excuses=frozenset({Excuse("alder", "01-a", exercise, counts)}))
    found = one_counted(None, rules)
    assert (found.points, found.of, found.raw, found.raw_of) == (points, of, 8, 10)


def test_without_rules_everything_counts_as_it_was_earned():
    found = one_counted(DUE + timedelta(days=99), ClassRules())
    assert (found.points, found.lost, found.is_open, found.days) == (8, 0, False, 0)


def test_what_was_not_handed_in_is_not_late_and_earns_nothing():
    nothing = {name: Cell(0, cell.of) for name, cell in CELLS.items()}
    (found,) = counted([earned(cells=nothing, is_there=False)], ClassRules({"01-a": DUE}, RULE), {})
    assert (found.points, found.of, found.is_open, found.days) == (0, 10, False, 0)


# Laws over all rules.

SHARES = st.lists(st.integers(0, 100), max_size=6).map(lambda some: sorted(some, reverse=True))
RULES = st.builds(
    lambda shares, days, grace, last, free: LateRule(
        {day: share / 100 for day, share in zip(sorted(days), shares, strict=False)},
        grace, last, free,
    ),
    SHARES,
    st.sets(st.integers(1, 20), min_size=6, max_size=6),
    st.integers(0, 3600),
    st.none() | st.integers(0, 20),
    st.integers(0, 6),
)  # fmt: skip
LATE_S = st.integers(-3 * 86_400, 25 * 86_400)
POINTS = st.integers(0, 40).map(lambda quarters: quarters / 4)
ONE_CELL = POINTS.map(lambda points: {"mark-1-1": Cell(points, 10)})
SHEET = st.lists(POINTS, min_size=1, max_size=6).map(
    lambda points: dict(zip(NAMES, (Cell(one, 10) for one in points), strict=False))
)
NAMES = ("explain-1", *(f"mark-1-{n}" for n in range(1, 6)))


def a_class(sheets, late):
    """Return three units, due a week apart, that came so many seconds late each."""
    start = datetime(2026, 5, 4, tzinfo=UTC)
    due = {unit: start + timedelta(days=7 * place) for place, unit in enumerate(UNITS)}
    came = {
        ("alder", unit): Arrival(due[unit] + timedelta(seconds=one), "timestamp.txt")
        for unit, one in zip(UNITS, late, strict=True)
    }
    return due, [earned(unit, sheet) for unit, sheet in zip(UNITS, sheets, strict=True)], came


THREE = st.tuples(ONE_CELL, ONE_CELL, ONE_CELL)
TIMES = st.tuples(LATE_S, LATE_S, LATE_S)


@settings(max_examples=60)
@given(RULES, THREE, TIMES, st.sampled_from(UNITS), st.integers(0, 20 * 86_400))
def test_points_never_rise_by_being_later(rule, sheets, late, later_unit, later_s):
    due, own, came = a_class(sheets, late)
    rules = ClassRules(due, rule)
    before = counted(own, rules, came)
    key = "alder", later_unit
    came[key] = Arrival(came[key].time + timedelta(seconds=later_s), "timestamp.txt")
    after = counted(own, rules, came)
    for old, new in zip(before, after, strict=True):
        assert 0 <= new.points <= old.points <= old.raw
        assert new.of == old.of


@settings(max_examples=60)
@given(RULES, THREE, TIMES, st.sampled_from(UNITS), LATE_S)
def test_an_extension_never_lowers_anything(rule, sheets, late, unit, by_s):
    due, own, came = a_class(sheets, late)
    extended = {("alder", unit): due[unit] + timedelta(seconds=by_s)}
    before = counted(own, ClassRules(due, rule), came)
    after = counted(own, ClassRules(due, rule, extended), came)
    for old, new in zip(before, after, strict=True):
        assert new.points >= old.points


@settings(max_examples=60)
@given(SHEET, st.sets(st.sampled_from([f"1.{n}" for n in range(1, 6)])))
def test_excused_and_counted_parts_sum_to_the_whole(sheet, excused):
    def points(exercises):
        excuses = frozenset(Excuse("alder", "01-a", one) for one in exercises)
        (found,) = counted([earned(cells=sheet)], ClassRules(excuses=excuses), {})
        return found.points, found.of

    names = {name for name in sheet if name != "explain-1"}
    others = {name.removeprefix("mark-").replace("-", ".") for name in names} - excused
    out, rest = points(excused), points(others | {"explain-1"})
    whole = sum(cell.points for cell in sheet.values()), sum(cell.of for cell in sheet.values())
    assert (out[0] + rest[0], out[1] + rest[1]) == pytest.approx(whole)


@pytest.mark.parametrize(
    ("made", "words"),
    [
        (lambda: LateRule({1: 0.5, 2: 0.6}), "may not rise"),
        (lambda: LateRule({1: 1.2}), "between 0 and 100"),
        (lambda: LateRule({0: 0.9}), "day 1"),
        (lambda: LateRule(grace_s=-1), "grace"),
        (lambda: LateRule(last_day=-1), "0 or more"),
    ],
)
def test_a_rule_that_makes_no_sense_is_refused_in_words(made, words):
    with pytest.raises(ValueError, match=words):
        made()
