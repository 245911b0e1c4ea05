"""Every timetable that is found keeps every rule, says a checker that shares no code with it."""

import itertools
import random
import tomllib
from pathlib import Path

import pytest

from instructor.planning.find_timetable import CannotFitError, find_timetable, smallest_conflict
from instructor.planning.request import MUST, SHOW
from instructor.planning.teaching_units import all_units, unit_from
from instructor.planning.timetable import lay_out
from instructor.planning.timetable_model import SHOWN, SHOWN_PLACE, TAUGHT, WHOLE, WORTH
from instructor.release.workbook_files import ROOT
from timetables.check_timetable import broken_rules
from timetables.requests import random_facts, random_request, request_for, sessions_on

RANDOM, IN_ONE = 500, 50
WORKBOOKS = Path(ROOT) / "workbooks"


def read_facts():
    return {path.parent.name: tomllib.loads(path.read_text())
            for path in sorted(WORKBOOKS.glob("*/unit.toml"))}  # fmt: skip


def drawn(seed, most_units=5):
    rng = random.Random(seed)
    facts = random_facts(rng, rng.randint(2, most_units))
    return facts, random_request(rng, list(facts)), [unit_from(*one) for one in facts.items()]


@pytest.mark.parametrize("first", range(0, RANDOM, IN_ONE))
def test_random_requests(first):
    found = 0
    for seed in range(first, first + IN_ONE):
        facts, request, units = drawn(seed)
        try:
            timetable = find_timetable(request, units, processes=1)
        except CannotFitError:
            continue
        found += 1
        assert list(broken_rules(request, facts, timetable.entries)) == [], seed
        assert timetable.is_best, seed
    assert found > IN_ONE // 2


def choices(unit, sessions):
    """Yield all that can be done with a unit: nothing, shown, or its first blocks somewhere."""
    yield {}
    for session in range(sessions):
        yield {(unit.name, SHOWN_PLACE): session}
    for blocks in range(1, len(unit.blocks) + 1):
        for where in itertools.combinations_with_replacement(range(sessions), blocks):
            yield {(unit.name, place): session for place, session in enumerate(where)}


def worth(request, units, blocks):
    """What a timetable is worth, counted from what is in it."""
    whole = 0
    for unit in units:
        if unit.name in request.known:
            continue
        weight = WORTH[request.word(unit.name)]
        mine = [place for name, place in blocks if name == unit.name]
        if mine == [SHOWN_PLACE]:
            whole += weight * SHOWN
        elif mine:
            long = sum(block.minutes() for block in unit.blocks)
            shares = [(WHOLE - TAUGHT) * unit.blocks[place].minutes() // long for place in mine]
            whole += weight * (TAUGHT + sum(shares))
    return whole


def all_that_keep_the_rules(request, facts, units):
    least = request.habits.blocks_in_part
    open_units = [unit for unit in units if unit.name not in request.known]
    every = [choices(unit, len(request.sessions)) for unit in open_units]
    for chosen in itertools.product(*every):
        blocks = {place: session for one in chosen for place, session in one.items()}
        if any(
            0 < len(one) < min(least, len(unit.blocks)) and (unit.name, SHOWN_PLACE) not in one
            for unit, one in zip(open_units, chosen, strict=True)
        ):
            continue
        entries = lay_out(request, units, blocks)
        if not list(broken_rules(request, facts, entries)):
            yield blocks


@pytest.mark.parametrize("seed", range(24))
def test_nothing_is_worth_more_than_the_best_of_all_there_are(seed):
    rng = random.Random(1000 + seed)
    facts = random_facts(rng, 2)
    request = random_request(rng, list(facts))
    request = request_for(
        request.sessions[:3], *(str(wish) for wish in request.wishes), known=request.known,
        habits=request.habits, people=request.people, machines=request.machines,
    )  # fmt: skip
    units = [unit_from(*one) for one in facts.items()]
    every = all_that_keep_the_rules(request, facts, units)
    best = max((worth(request, units, blocks) for blocks in every), default=None)
    try:
        timetable = find_timetable(request, units, processes=1)
    except CannotFitError as problem:
        assert best is None
        assert_smallest(request, units, facts, problem.wishes)
        return
    assert timetable.worth == timetable.bound == best


def assert_smallest(request, units, facts, conflict):
    """No timetable keeps the wishes that are named, and each smaller set is kept by some."""
    for size in range(len(conflict) + 1):
        for some in itertools.combinations(request.wishes, size):
            asked = request_for(
                request.sessions, *(str(wish) for wish in some), known=request.known,
                habits=request.habits, people=request.people, machines=request.machines,
            )  # fmt: skip
            can = any(True for _ in all_that_keep_the_rules(asked, facts, units))
            assert can if size < len(conflict) else some != conflict or not can


def test_the_smallest_set_of_wishes_is_named():
    facts = {
        name: {"title": name, "prerequisites": [], "minutes": {"exercises": 60},
               "parts": [{"exercise": "1.1", "minutes": long}]}
        for name, long in (("a", 10), ("b", 40), ("c", 40), ("d", 10))
    }  # fmt: skip
    for fact in facts.values():
        fact["minutes"]["exercises"] = fact["parts"][0]["minutes"]
    units = [unit_from(*one) for one in facts.items()]
    request = request_for(
        sessions_on(0, of=("09:00-11:00",)), "must a", "must b", "must c", "must d",
    )  # fmt: skip
    conflict = smallest_conflict(request, units, request.wishes)
    assert {wish.unit for wish in conflict} == {"b", "c"}


def test_the_checker_finds_planted_faults():
    facts = read_facts()
    units = all_units(WORKBOOKS)
    names = {unit.number: unit.name for unit in units}
    request = request_for(
        sessions_on(0), f"must {names['01']}", f"must {names['04']}", f"{SHOW} {names['08']}"
    )
    entries = list(find_timetable(request, units).entries)
    assert list(broken_rules(request, facts, entries)) == []

    def told(changed):
        return " ".join(broken_rules(request, facts, changed))

    talk = next(place for place, one in enumerate(entries) if one.what == "talk")
    assert "at one time" in told([*entries, entries[talk]._replace(unit="")])
    assert "must be taught" in told([one for one in entries if one.unit != names["04"]])
    assert "in the order" in told([one for one in entries if one.what != "exercise 4.2"])
    assert "survey is not last" in told([one for one in entries if one.what != "survey"])
    longer = entries[talk]._replace(end=entries[talk + 1].end)
    assert "listening" in told([*entries[:talk], longer, *entries[talk + 2 :]])
    assert "filled" in told([one._replace(kind="fixed") if one.kind == "free" else one
                             for one in entries])  # fmt: skip
    assert request.word(names["04"]) == MUST


def test_a_changed_wish_moves_only_what_must_move():
    units = all_units(WORKBOOKS)
    names = {unit.number: unit.name for unit in units}
    sessions = sessions_on(*range(0, 28, 7), of=("14:00-16:00",))
    first = request_for(
        sessions, f"must {names['01']}", f"must {names['04']}", f"like {names['10']}"
    )
    then = request_for(sessions, *(str(wish) for wish in first.wishes), f"avoid {names['02']}")
    before = find_timetable(first, units, search_s=10)
    after = find_timetable(then, units, earlier=before.blocks, search_s=10)
    alone = {place: session for place, session in before.blocks.items() if place[0] != names["02"]}
    kept = {place for place, session in after.blocks.items() if alone.get(place) == session}
    assert kept == set(alone)
