"""Each packet of a journey is where its steps have brought it, and the books of the router balance.

The law: what came in or was made has been sent, taken in or dropped, waits, or is on its way. The
router counts the former itself; who is on its way comes from the steps alone.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.tracing.journey_books import books_in_words, books_scale, tilt
from course_lib.figures.tracing.journey_places import (
    Books,
    Place,
    books_at,
    end_of,
    tokens_at,
    ways_taken,
)
from course_lib.forwarding.verdicts import HELD
from course_lib.prefixes.prefix import parse_prefix
from course_lib.prefixes.text import parse_address
from course_lib.tracing.journey import follow
from networks.strange_arrivals import arrivals, routers


def journey(name):
    return follow(north_pier(), 0.0, *ARRIVALS[name])


# The octets of a fragment: 14 of Ethernet, 20 of IP, data in units of 8 (RFC 791, section 3.2).
# In 576 octets find 552 of them room; of 1,008 remain 456.
ENDS = {
    "plain": [("packet", 68, Place.OUT, "sent")],
    "wrong checksum": [("packet", 68, Place.STAGE, "dropped")],
    "too large": [("packet", 586, Place.OUT, "sent"), ("part 2", 490, Place.OUT, "sent")],
    "time to live 1": [("packet", 68, Place.SIDING, "dropped"), ("own 1", 96, Place.OUT, "sent")],
    "for the router": [("packet", 56, Place.SIDING, "taken in"), ("own 1", 56, Place.OUT, "sent")],
    "with options": [("packet", 76, Place.OUT, "sent")],
    "unknown neighbour": [("packet", 68, Place.SIDING, "waits")],
}


@pytest.mark.parametrize(("name", "packets"), ENDS.items())
def test_every_packet_comes_to_its_end(name, packets):
    told = journey(name)
    tokens = tokens_at(told, len(told.steps))
    assert [(one.key, one.octets, one.place, one.fate) for one in tokens] == packets


def test_a_packet_that_is_cut_splits_on_the_siding():
    told = journey("too large")
    split = tokens_at(told, 5)
    assert [(one.octets, one.place, one.is_next) for one in split] == [
        (586, Place.SIDING, True),
        (490, Place.SIDING, False),
    ]
    assert [one.octets for one in tokens_at(told, 4)] == [1042]
    assert [one.stage for one in tokens_at(told, 6)] == [4, 3]


def test_a_redirect_goes_out_before_the_packet_that_caused_it():
    router = north_pier()
    better = parse_address("198.51.100.9")
    router.neighbours["to Ticket Office"].keep(better, bytes.fromhex("00005e005340"))
    router.add_route(parse_prefix("203.0.113.192/26"), better, "to Ticket Office")
    told = follow(router, 0.0, *ARRIVALS["no route"])
    first = [step.leg for step in told.steps].index(2)
    assert [(one.key, one.place) for one in tokens_at(told, first)] == [
        ("packet", Place.SIDING),
        ("own 1", Place.OUT),
    ]
    assert {one.fate for one in tokens_at(told, len(told.steps))} == {"sent"}


@pytest.mark.parametrize("name", ARRIVALS)
def test_packets_on_the_track_ride_from_station_to_station(name):
    told = journey(name)
    steps = [step for step in told.steps if step.leg == 0]
    stages = [tokens_at(told, until)[0].stage for until in range(len(steps) + 1)]
    assert stages == list(range(-1, len(steps)))


WAYS = {
    "plain": (set(range(6)), set(), set()),
    "too large": (set(range(6)), {3}, {4}),
    "no route": ({0, 1, 2, 4, 5}, {2}, {4}),
    "wrong checksum": ({0, 1}, set(), set()),
    "unknown neighbour": (set(range(6)), {5}, set()),
}


@pytest.mark.parametrize(("name", "ways"), WAYS.items())
def test_ways_to_and_from_the_siding_are_known(name, ways):
    told = journey(name)
    assert ways_taken(told, len(told.steps)) == ways


@pytest.mark.parametrize(
    ("name", "end"), [("plain", 6), ("wrong checksum", 1), ("too large", 3), ("no route", 2)]
)
def test_the_end_of_the_fast_path_is_a_stage_or_the_way_out(name, end):
    assert end_of(journey(name)) == end


@settings(max_examples=300)
@given(routers(), st.lists(arrivals, min_size=1, max_size=5))
def test_the_balance_levels_after_every_step_whatever_comes(router, frames):
    for number, arrival in enumerate(frames):
        told = follow(router, number * 0.01, *arrival)
        for until in range(len(told.steps) + 1):
            books = books_at(told, until)
            assert books.came == books.gone
            assert tilt(books) == 0
        assert books.on_its_way == 0
        assert books.waiting == router.waiting()


@given(routers(), arrivals)
def test_the_books_at_the_end_are_the_counters_of_the_router(router, arrival):
    told = follow(router, 0.0, *arrival)
    books, counters = books_at(told, len(told.steps)), router.counters
    assert books[1:5] == (counters.received, counters.made, counters.sent, counters.taken)
    assert books.dropped == counters.dropped.total()


def test_a_stage_that_keeps_a_packet_and_forgets_it_tilts_the_balance():
    router = north_pier()
    router.stages.insert(2, lambda packet: HELD)  # and has nothing that hands it out again
    told = follow(router, 0.0, *ARRIVALS["plain"])
    books = books_at(told, len(told.steps))
    assert (books.came, books.gone) == (1, 0)
    assert tilt(books) < 0


def test_packets_that_waited_before_stand_in_the_books():
    router = north_pier()
    follow(router, 0.0, *ARRIVALS["unknown neighbour"])
    told = follow(router, 0.1, *ARRIVALS["unknown neighbour"])
    books = books_at(told, len(told.steps))
    assert (books.waited, books.waiting) == (1, 2)
    assert "waited before 1 + came in 1" in books_in_words(books)


NUMBERS = st.integers(0, 99)


@given(st.builds(Books, *[NUMBERS] * 8))
def test_the_beam_falls_on_the_side_that_is_more(books):
    assert (tilt(books) > 0) == (books.gone > books.came)
    assert (tilt(books) < 0) == (books.gone < books.came)


@given(st.builds(Books, *[NUMBERS] * 8), st.builds(Books, *[NUMBERS] * 8))
def test_every_number_of_the_balance_is_said(books, before):
    parts = {part.key: part.markup for part in books_scale(books, before, 700, 80)}
    said = books_in_words(books)
    for key, markup in parts.items():
        if key.startswith("count "):
            assert markup.split(">")[1].split("<")[0] in said
    assert f"= {books.came};" in said
    assert f"= {books.gone}." in said
    moved = {name for name in books._fields if getattr(books, name) != getattr(before, name)}
    shown = {key[6:] for key in parts if key.startswith("moved ")}
    assert shown == moved - ({"waited"} if not books.waited else set())
