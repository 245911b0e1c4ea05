"""The picture of a journey shows where each packet is and how it looks, and nothing too early."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.tracing.journey_places import books_at
from course_lib.figures.tracing.journey_words import changes_in_words, step_lines
from course_lib.figures.tracing.packet_journey import journey_scene, packet_journey
from course_lib.forwarding.verdicts import HELD, Drop
from course_lib.headers.errors import Reason
from course_lib.ip.packets import OutgoingFrame
from course_lib.tracing.journey import follow
from course_lib.tracing.steps import JourneyStep, Octets
from networks.strange_arrivals import arrivals, routers
from pages.drawn_shapes import is_told, words

STAGES = ("receive", "validate", "decide", "rewrite", "queue", "send")


def journey(name="plain", stage=None, place=3):
    router = north_pier()
    router.stages[place:place] = [] if stage is None else [stage]
    return follow(router, 0.0, *ARRIVALS[name])


def parts(told, until=None, **more):
    scene = journey_scene(told, len(told.steps) if until is None else until, **more)
    return {part.key: part.markup for part in scene.parts}


def middle(markup):
    """Return where the first box of some markup has its middle."""
    x, width = (float(re.search(rf'<rect[^>]* {name}="([^"]+)"', markup)[1])
                for name in ("x", "width"))  # fmt: skip
    return x + width / 2


@pytest.mark.parametrize("until", range(1, 7))
def test_the_packet_rides_above_the_station_of_its_step_and_then_out(until):
    drawn = parts(journey(), until)
    at = middle(drawn["token packet"])
    place = middle(drawn[f"station {until - 1}"]) if until < 6 else middle(drawn["way out"])
    assert at == pytest.approx(place)
    assert 'class="chosen"' in drawn[f"station {until - 1}"]


@pytest.mark.parametrize("name", ARRIVALS)
def test_stations_are_dashed_until_a_packet_has_been_there(name):
    told = journey(name)
    for until in range(len(told.steps) + 1):
        seen = {step.stage for step in told.steps[:until]}
        drawn = parts(told, until)
        for place, stage in enumerate(STAGES):
            assert ('class="gap"' in drawn[f"station {place}"]) == (stage not in seen)


@pytest.mark.parametrize(
    ("name", "mark", "word"),
    [
        ("wrong checksum", "l10 10m-10 0l10 -10", "dropped"),
        ("time to live 1", "l10 10m-10 0l10 -10", "dropped"),
        ("unknown neighbour", "v10m6 -10v10", "waits"),
        ("for the router", "l4 5l7 -10", "taken in"),
    ],
)
def test_the_end_of_a_packet_has_a_shape_and_a_word_and_not_colour_alone(name, mark, word):
    fate = parts(journey(name))["fate packet"]
    assert mark in fate
    assert f">{word}</text>" in fate


def test_what_is_dropped_falls_below_its_station():
    tops = [
        float(re.search(r'<rect x="[^"]+" y="([^"]+)"', parts(journey(name), 2)["token packet"])[1])
        for name in ("plain", "wrong checksum")
    ]
    assert tops[0] < tops[1]


@pytest.mark.parametrize("name", ARRIVALS)
def test_bends_lead_to_the_siding_only_where_a_packet_has_left_the_track(name):
    told = journey(name)
    for until in range(len(told.steps) + 1):
        done = told.steps[:until]
        drawn = parts(told, until)
        off = any(step.leg for step in told.steps[: until + 1]) and any(
            later.leg for later in told.steps[until : until + 1]
        )
        assert ("bends down" in drawn) == (off or any(step.leg for step in done))
        came_back = any(step.leg and step.stage != "slow path" for step in done)
        assert ("bends up" in drawn) == came_back


def test_parts_of_a_packet_are_tokens_with_the_octets_of_their_frames():
    told = journey("too large")
    assert ">1,042<" in parts(told, 4)["token packet"]
    split = parts(told, 5)
    assert [words_of(split[key]) for key in ("token packet", "token part 2")] == ["586", "490"]
    assert {len(frame.frame) for frame in told.sent} == {586, 490}


def words_of(markup):
    return re.search(r"<text[^>]*>([^<]+)</text>", markup)[1]


TITLES = {
    "plain": 'the packet is sent by the interface "to Reed Pier"',
    "wrong checksum": "validate drops the packet: wrong checksum",
    "no route": "the packet leaves the fast path at decide: refused: no route",
    "too large": "the packet leaves the fast path at rewrite: cut into fragments",
}


@pytest.mark.parametrize(("name", "title"), TITLES.items())
def test_the_title_tells_the_end(name, title):
    assert packet_journey(journey(name)).title == f"North Pier: {title}"


@pytest.mark.parametrize("until", range(6))
@pytest.mark.parametrize("guess", [None, 1])
def test_of_what_is_still_to_come_nothing_is_told(until, guess):
    told = journey("wrong checksum" if until < 2 else "plain")
    figure = journey_scene(told, until, guess=guess, asks=True).figure()
    assert "drops the packet" not in figure.title
    assert "is sent" not in figure.title
    hidden = [line for step in told.steps[until:] for line in step_lines(step)]
    shown = figure.text + figure.alternative_text + " ".join(words(figure))
    assert not any(line in shown for line in hidden)
    assert "ends here" not in words(figure)
    assert "It ends in" not in shown


GUESSES = [("wrong checksum", 1, 1), ("wrong checksum", 4, 1), ("plain", 6, 6), ("no route", 6, 2)]


@pytest.mark.parametrize(("name", "guess", "end"), GUESSES)
def test_the_guess_is_a_flag_and_the_answer_joins_it_at_the_end(name, guess, end):
    told = journey(name)
    first, last = parts(told, 0, guess=guess), parts(told, guess=guess)
    stations = {**{n: last[f"station {n}"] for n in range(6)}, 6: last["way out"]}
    assert "answer" not in first
    assert f"M{middle(stations[guess]):g} " in first["guess"]
    assert f"M{middle(stations[end]):g} " in last["answer"]
    names = [*(f"in {stage}" for stage in STAGES), "outside"]
    text = journey_scene(told, len(told.steps), guess=guess).words.text
    assert f"Your guess: the way on the fast path ends {names[guess]}." in text
    assert f"It ends {names[end]}." in text


def test_stations_can_be_pressed_as_long_as_they_are_asked_for():
    told = journey("too large")
    asked = journey_scene(told, 0, asks=True).touches
    assert [touch.value for touch in asked] == list(range(7))
    assert [touch.action for touch in asked] == ["guess"] * 7
    assert len({touch.name for touch in asked}) == 7
    assert journey_scene(told, 0).touches == ()


def test_text_and_description_tell_what_changed_and_what_was_counted():
    figure = packet_journey(journey())
    assert "time to live 64 → 63; checksum 0x2605 → 0x2705" in figure.text
    assert "time to live 64 → 63; checksum 0x2605 → 0x2705" in figure.alternative_text
    assert "changed or new: octets 22, 24" in figure.text
    assert "Counted: sent +1." in figure.text
    assert "Leaves on: to Reed Pier; next hop: 192.0.2.1." in figure.alternative_text


@pytest.mark.parametrize("name", ARRIVALS)
def test_the_text_tells_all_steps_with_the_octets_of_each(name):
    told = journey(name)
    text = packet_journey(told).text
    for number, step in enumerate(told.steps, start=2):
        assert f"{number}. {step.stage}" in text
        assert all(line in text for line in step_lines(step))
    for sent in told.sent:
        if sent.frame[12:14] == b"\x08\x00":
            assert sent.frame[:14].hex(" ") in text
            assert sent.frame[14:34].hex(" ") in text


def test_frames_that_no_step_explains_are_told_in_picture_and_text():
    figure = packet_journey(journey("unknown neighbour"))
    sentence = 'Sent beside it by the interface "to Gull Rock": address resolution.'
    assert sentence in figure.text
    assert "Sent beside it" in " ".join(words(figure))


CHANGES = [
    (b"abc", b"abcd", "1 octet added at the end of the data"),
    (b"abcd", b"ab", "2 octets taken off the end of the data"),
    (b"abcd", b"cd", "the first 2 octets of the data taken off"),
    (b"abcd", b"axcy", "data: 2 octets changed"),
]


@pytest.mark.parametrize(("before", "after", "sentence"), CHANGES)
def test_changes_of_the_data_are_told(before, after, sentence):
    header = bytes.fromhex("4500001400000000401100000000000000000000")
    step = JourneyStep(
        "own", 0, "the packet", *(Octets(b"", header + data) for data in (before, after))
    )
    assert changes_in_words(step) == [sentence]


def test_of_many_stages_those_around_the_packet_are_drawn():
    told = journey(stage=lambda packet: packet)
    router = north_pier()
    router.stages[3:3] = [lambda packet: packet] * 40
    told = follow(router, 0.0, *ARRIVALS["plain"])
    for until in (0, 1, 23, 46):
        drawn = parts(told, until)
        stations = [key for key in drawn if key.startswith("station ")]
        assert len(stations) == 8
        assert until == 0 or f"station {until - 1}" in stations
        more = re.findall(
            r"\+(\d+)<", "".join(drawn.get(f"more {n}", "") for n in ("end", "start"))
        )
        assert sum(map(int, more)) == 46 - 8
    assert packet_journey(told).text.count("<lambda>: Hands it on as it is") == 40


class Odd:
    """A stage that prints as markup, with an answer that is markup too."""

    def __call__(self, packet):
        return "<b>no</b>"

    def __repr__(self):
        return "<script>alert(1)</script> and a long name"


def test_names_that_look_like_markup_stay_words():
    figure = packet_journey(journey("plain", Odd()))
    assert "<script" not in figure.svg
    assert "<script>alert(1)" in " ".join(words(figure))


@pytest.mark.parametrize("name", ARRIVALS)
def test_every_scene_has_the_same_size_and_fits_a_laptop(name):
    told = journey(name)
    sizes = {journey_scene(told, until).size for until in range(len(told.steps) + 1)}
    assert len(sizes) == 1
    assert sizes.pop()[1] <= 640 - 160  # a row above, two lines of words, a row below


HEXADECIMAL = re.compile(r"[0-9a-f]{2}")


def numbers(text):
    return set(re.findall(r"\d+", text.replace(",", "")))


@given(routers(), arrivals, st.integers(0, 20))
def test_every_number_of_the_picture_is_in_its_text_and_the_books_are_read_out(
    router, arrival, until
):
    told = follow(router, 0.0, *arrival)
    scene = journey_scene(told, min(until, len(told.steps)), guess=2)
    figure = scene.figure()
    assert is_told(figure)
    drawn = [one for one in words(figure) if not HEXADECIMAL.fullmatch(one)]
    counted = [one for one in drawn if not re.fullmatch(r"[+\N{MINUS SIGN}]\d+", one)]
    assert numbers(" ".join(counted)) <= numbers(f"{figure.text} {figure.alternative_text}")
    octets = {one for one in words(figure) if HEXADECIMAL.fullmatch(one)}
    assert octets <= set(re.findall(r"\b[0-9a-f]{2}\b", figure.text)) | octets_said(figure)
    books = books_at(told, min(until, len(told.steps)))
    for said in (figure.text, figure.alternative_text):
        assert f"sent {books.sent} + taken in {books.taken} + dropped {books.dropped}" in said


def octets_said(figure):
    """Return what has two digits and is no octet: sizes of frames."""
    return {one for one in words(figure) if re.fullmatch(r"\d\d", one) and one in figure.text}


ANSWERS = st.sampled_from([None, HELD, Drop(Reason.FILTERED), OutgoingFrame("<", b"\xff" * 90), 5])


@given(st.binary(max_size=100), ANSWERS, st.integers(0, 6), st.none() | st.integers(0, 9))
def test_any_journey_makes_a_well_formed_image_with_a_twin(frame, answer, place, until):
    router = north_pier()
    router.stages.insert(place, lambda packet: answer)
    figure = packet_journey(follow(router, 0.0, "to Ticket Office", frame), until)
    assert is_told(figure)
    assert figure.text.startswith(figure.title)
