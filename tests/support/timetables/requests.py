"""Requests for timetables: small and random ones."""

import datetime

from instructor.planning.request import Habits, Request, Session, Wish

UTC = datetime.UTC
FIRST = datetime.date(2026, 5, 4)
FOUR = ("09:00-10:30", "11:00-12:30", "13:30-15:00", "15:30-17:00")


def sessions_on(*days, of=FOUR):
    """Return sessions on days that are counted from the first one."""
    found = []
    for day in days:
        on = FIRST + datetime.timedelta(days=day)
        for text in of:
            start, end = (datetime.time.fromisoformat(one) for one in text.split("-"))
            found.append(Session(datetime.datetime.combine(on, start, UTC),
                                 datetime.datetime.combine(on, end, UTC)))  # fmt: skip
    return tuple(found)


def request_for(sessions, *wishes, **more):
    """Return a request; wishes as "must 04"."""
    return Request(
        "A course", sessions, tuple(Wish(one.split()[1], one.split()[0]) for one in wishes), **more
    )


def random_facts(rng, units):
    """Return `unit.toml`s as nobody would write them, by name; what each needs comes before."""
    facts = {}
    for place in range(units):
        parts = [{"exercise": f"{place}.{one}", "minutes": rng.randint(5, 30)}
                 for one in range(1, rng.randint(2, 5))]  # fmt: skip
        whole = sum(part["minutes"] for part in parts)
        facts[f"u{place}"] = {
            "title": f"Unit {place}",
            "prerequisites": [name for name in facts if rng.random() < 0.25],
            "minutes": {
                "talk": rng.choice([0, 5, 10, 20]),
                "demo": 0 if len(parts) < 2 else rng.choice([0, 5, 10]),
                "exercises": whole + rng.choice([0, 0, 3, 10]),
                "unattended": rng.choice([0, 0, 0, 10, 25, 40]),
            },
            "parts": parts,
        }
    return facts


def random_request(rng, names):
    """Return a request with whatever can be asked for."""
    days = rng.randint(1, 2)
    shape = rng.choice([FOUR, FOUR[:3], ("14:00-16:00",), ("09:00-12:00", "13:00-15:00")])
    words = {name: rng.choice(["must", "like", "like", "show", "avoid", "", ""]) for name in names}
    return Request(
        "Random",
        sessions_on(*range(days), of=shape),
        tuple(Wish(name, word) for name, word in words.items() if word),
        known=frozenset(name for name in names if rng.random() < 0.1),
        people=rng.randint(1, 40),
        machines=rng.choice([None, None, None, 10, 20]),
        habits=Habits(
            set_up_min=rng.choice([0, 15, 30]),
            open_questions_min=rng.choice([0, 5]),
            discussion_min=rng.choice([0, 15]),
            survey_min=rng.choice([0, 10]),
            slack=rng.choice([0.0, 0.1, 0.2]),
            blocks_in_part=rng.randint(1, 3),
        ),
    )
