"""What every timetable must keep, judged from its entries alone, without the planner's own rules.

It reads the request and the facts of the units as `unit.toml` gives them, and shares no line with
what searches for timetables.
"""

import datetime
import itertools

LONGEST_LISTENING_MIN = 20


def broken_rules(request, facts, entries):
    """Return what is wrong with a timetable, in words; `facts` are `unit.toml`s by unit."""
    found = []
    found += _times(request, entries)
    found += _listening(request, entries)
    found += _slack(request, entries)
    found += _begins_and_ends(request, entries)
    found += _units(request, facts, entries)
    found += _wishes(request, entries)
    found += _runs(request, entries)
    return found


def _minutes(span):
    return span.total_seconds() / 60


def _times(request, entries):
    attended = [one for one in entries if one.kind != "unattended"]
    for one in attended:
        inside = [s for s in request.sessions if s.start <= one.start < one.end <= s.end]
        if len(inside) != 1:
            yield f"{one.what} from {one.start} to {one.end} lies in no session"
    for one, other in itertools.combinations(attended, 2):
        if one.start < other.end and other.start < one.end:
            yield f"{one.what} and {other.what} are at one time"


def _in_session(session, entries):
    return sorted(
        (one for one in entries
         if session.start <= one.start < session.end and one.kind != "unattended"),
        key=lambda one: one.start,
    )  # fmt: skip


def _is_after_lunch(request, place):
    if place == 0:
        return False
    before, here = request.sessions[place - 1], request.sessions[place]
    return (
        before.end.date() == here.start.date()
        and _minutes(here.start - before.end) >= request.habits.lunch_min
        and before.end.time() < datetime.time(14)
        and here.start.time() > datetime.time(11, 30)
    )


def _listening(request, entries):
    for place, session in enumerate(request.sessions):
        listened = 0
        here = _in_session(session, entries)
        for one in here:
            listened = listened + one.minutes if one.kind == "listening" else 0
            if listened > LONGEST_LISTENING_MIN:
                yield f"{listened} minutes of listening at a stretch at {one.start}"
        units = [one for one in here if one.unit]
        if _is_after_lunch(request, place) and units and units[0].kind == "listening":
            yield f"listening straight after lunch at {units[0].start}"


def _slack(request, entries):
    halves = {}
    half = 0
    for place, session in enumerate(request.sessions):
        half += _is_after_lunch(request, place)
        halves.setdefault((session.start.date(), half), []).append(session)
    for sessions in halves.values():
        whole = sum(session.minutes for session in sessions)
        busy = sum(one.minutes for session in sessions for one in _in_session(session, entries)
                   if one.kind != "free")  # fmt: skip
        if busy > whole * (1 - request.habits.slack) + 1e-6 and any(
            one.unit for session in sessions for one in _in_session(session, entries)
        ):
            yield f"{busy} of {whole} minutes are filled from {sessions[0].start} on"


def _begins_and_ends(request, entries):
    in_order = sorted(entries, key=lambda one: one.start)
    habits = request.habits
    if habits.set_up_min and (in_order[0].what, in_order[0].start) != (
        "set-up", request.sessions[0].start
    ):  # fmt: skip
        yield "set-up is not first"
    if habits.survey_min and (in_order[-1].what, in_order[-1].end) != (
        "survey", request.sessions[-1].end
    ):  # fmt: skip
        yield "the survey is not last"


def _units(request, facts, entries):
    spans = {}
    for name, toml in facts.items():
        mine = [one for one in entries if one.unit == name]
        if not mine:
            continue
        if name in request.known:
            yield f"{name} is known and taught"
        spans[name] = min(one.start for one in mine), max(one.end for one in mine)
        shown = [one.what for one in mine if one.what.startswith("shown")]
        if shown and len(mine) != 1 + request.turns:
            yield f"{name} is shown and taught"
        if not shown:
            yield from _parts(request, toml, name, mine)
        for need in toml["prerequisites"]:
            theirs = [one for one in entries if one.unit == need]
            if need in request.known:
                continue
            if not theirs or max(one.end for one in theirs) > spans[name][0]:
                yield f"{name} comes before {need}, which it needs"
            elif not shown and any(one.what.startswith("shown") for one in theirs):
                yield f"{name} is taught, but {need}, which it needs, is only shown"
    for (one, (start, end)), (other, (begin, over)) in itertools.combinations(spans.items(), 2):
        if start < over and begin < end and _minutes(min(end, over) - max(start, begin)) > 0:
            yield f"{one} and {other} are mixed"


def _parts(request, toml, name, mine):
    """The parts that are taught are the first ones, in order, each whole and by every group."""
    wanted = [f"exercise {part['exercise']}" for part in toml.get("parts", ())]
    taught = [one for one in mine if one.kind == "hands-on"]
    names = [one.what.partition(", group")[0] for one in taught][:: request.turns]
    if [what for what in names if what.startswith("exercise")] != wanted[: len(names)]:
        yield f"{name} is taught in the order {names}"
    minutes = {f"exercise {part['exercise']}": part["minutes"] for part in toml.get("parts", ())}
    for turn in range(request.turns):
        given = sum(one.minutes for one in taught[turn :: request.turns])
        needed = sum(minutes.get(what, 0) for what in names)
        if given < needed - 4:  # ends are at multiples of five minutes
            yield f"{name} gets {given} minutes for {needed}"


def _wishes(request, entries):
    for wish in request.wishes:
        mine = [one for one in entries if one.unit == wish.unit]
        is_taught = any(not one.what.startswith(("shown", "at the figure")) for one in mine)
        if wish.unit in request.known:
            continue
        if wish.word == "must" and not is_taught:
            yield f"{wish.unit} must be taught"
        if wish.word == "show" and not mine:
            yield f"{wish.unit} must be shown"
        if wish.word == "avoid" and mine:
            yield f"{wish.unit} is to be avoided"


def _runs(request, entries):
    """A run that needs nobody begins when a session ends, and ends before the next one begins."""
    for one in entries:
        if one.kind != "unattended":
            continue
        session = next((s for s in request.sessions if s.start < one.start <= s.end), None)
        if session is None:
            yield f"{one.what} does not begin in a session"
            continue
        later = [s for s in request.sessions if s.start >= session.end]
        if not later or one.end > later[0].start or later[0].start.date() != one.start.date():
            yield f"{one.what} does not fit the break after {session.end}"
        units = [each for each in _in_session(session, entries) if each.unit]
        if not units or units[-1].end != one.start:
            yield f"{one.what} does not begin when the work of its session ends"
