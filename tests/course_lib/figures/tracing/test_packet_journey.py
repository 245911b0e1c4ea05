"""The drawing of a journey shows every step with its octets, marks what changed, tells the end."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
from course_lib.figures.headers.octet_strip import octet_strip
from course_lib.figures.tracing.journey_words import changes_in_words, step_lines
from course_lib.figures.tracing.packet_journey import packet_journey
from course_lib.forwarding.verdicts import HELD, Drop
from course_lib.headers.errors import Reason
from course_lib.ip.packets import OutgoingFrame
from course_lib.tracing.journey import follow
from course_lib.tracing.steps import JourneyStep, Octets
from pages.drawn_shapes import is_told, looks, shapes, words


def journey(name="plain", stage=None, place=3):
    router = north_pier()
    router.stages[place:place] = [] if stage is None else [stage]
    return follow(router, 0.0, *ARRIVALS[name])


def groups(figure):
    return shapes(figure, "g")


def paths(figure, look):
    return [one.get("d") for one in shapes(figure, "path", look)]


@pytest.mark.parametrize("name", ARRIVALS)
def test_every_step_is_drawn_with_its_name_and_its_words(name):
    told = journey(name)
    drawn = groups(packet_journey(told))
    assert len(drawn) == len(told.steps)
    for step, group in zip(told.steps, drawn, strict=True):
        said = " ".join(words(group))
        assert step.stage in words(group)
        assert all(line in said for line in step_lines(step))


@pytest.mark.parametrize("name", ARRIVALS)
def test_as_many_octets_are_marked_as_have_changed_in_the_headers(name):
    told = journey(name)
    headers = 14 + 20 + 8 * (name == "with options")
    for step, group in zip(told.steps, groups(packet_journey(told)), strict=True):
        changed = [] if step.is_new else [n for n in step.changed if n < headers]
        assert looks(group, "rect").count("alert") == len(changed)


def test_marked_octets_stand_where_the_octets_of_the_frame_do():
    """Octet 22 holds the time to live (RFC 791, section 3.1, behind 14 octets of Ethernet)."""
    octets = bytes(range(12)) + bytes.fromhex("080045") + bytes(range(15, 40))
    strip = octet_strip(Octets(octets[:14], octets[14:]), [22], 0, 0)
    tree = ET.fromstring(f"<a xmlns='http://www.w3.org/2000/svg'>{strip}</a>")
    plain, marked = (one for one in shapes(tree, "text") if "mono" in one.get("class"))
    assert (plain.text, marked.text) == ((octets[:22] + octets[23:34]).hex(), "16")
    (box,) = shapes(tree, "rect", "alert")
    places = range(round(float(box.get("x"))), round(float(box.get("x"))) + 16)
    assert all(float(x) // 1 in places for x in marked.get("x").split())
    assert not any(float(x) // 1 in places for x in plain.get("x").split())


def test_strips_lie_column_below_column():
    drawn = groups(packet_journey(journey()))
    still = [group for group in drawn if "alert" not in looks(group, "rect")]
    places = [[one.get("x") for one in shapes(group, "text", "ink mono")] for group in still]
    assert len(still) == 4
    assert places == [places[0]] * 4


@pytest.mark.parametrize(
    ("answer", "look", "turn"),
    [
        (Drop(Reason.FILTERED), "changed", "l12 12m-12 0l12 -12"),
        (HELD, "changed", "h16m-16 6h16"),
        (None, "changed", "l12 12m-12 0l12 -12"),
        (OutgoingFrame("to Plover", bytes(60)), "chosen", "v17m-6 -7l6 8l6 -8"),
    ],
)
def test_the_end_has_a_shape_and_not_colour_alone(answer, look, turn):
    figure = packet_journey(journey("plain", lambda packet: answer))
    assert [path for path in paths(figure, look) if turn in path]


def test_leaving_the_fast_path_is_a_bend_to_the_slow_path():
    figure = packet_journey(journey("with options"))
    assert len(paths(figure, "changed")) == 1
    assert words(figure).count("slow path") == 1


def test_stages_that_were_not_reached_are_dashed():
    figure = packet_journey(journey("wrong checksum"))
    assert looks(figure, "rect").count("gap") == 4
    assert words(figure)[-4:] == ["decide", "rewrite", "queue", "send"]
    assert "gap" not in looks(packet_journey(journey()), "rect")


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
def test_of_what_is_still_to_come_nothing_is_told(until):
    told = journey("wrong checksum" if until < 2 else "plain")
    figure = packet_journey(told, until)
    assert len(groups(figure)) == until
    assert "sent" not in figure.title
    assert "drop" not in figure.title
    hidden = [line for step in told.steps[until:] for line in step_lines(step)]
    assert not any(line in figure.text + figure.alternative_text for line in hidden)


def test_all_steps_are_the_whole_journey():
    told = journey("too large")
    assert packet_journey(told, len(told.steps)) == packet_journey(told)


def test_text_and_description_tell_what_changed_and_what_was_counted():
    figure = packet_journey(journey())
    assert "time to live 64 → 63; checksum 0x2605 → 0x2705" in figure.text
    assert "time to live 64 → 63; checksum 0x2605 → 0x2705" in figure.alternative_text
    assert "changed or new: octets 22, 24" in figure.text
    assert "Counted: sent +1." in figure.text
    assert "Leaves on: to Reed Pier; next hop: 192.0.2.1." in figure.alternative_text


def test_octets_in_the_text_are_those_that_are_sent():
    told = journey()
    text = packet_journey(told).text
    frame = told.sent[0].frame
    assert frame[:14].hex(" ") in text
    assert frame[14:34].hex(" ") in text


def test_frames_that_no_step_explains_are_told():
    text = packet_journey(journey("unknown neighbour")).text
    assert text.endswith('Sent beside it by the interface "to Gull Rock": address resolution.')


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


def test_a_very_long_journey_is_cut_and_says_so():
    router = north_pier()
    router.stages[3:3] = [lambda packet: packet] * 40
    figure = packet_journey(follow(router, 0.0, *ARRIVALS["plain"]))
    assert len(groups(figure)) == 24
    assert "22 more steps are not drawn." in words(figure)
    assert figure.text.count("<lambda>: Hands it on as it is") == 40


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


ANSWERS = st.sampled_from([None, HELD, Drop(Reason.FILTERED), OutgoingFrame("<", b"\xff" * 90), 5])


@given(st.binary(max_size=100), ANSWERS, st.integers(0, 6), st.none() | st.integers(0, 9))
def test_any_journey_makes_a_well_formed_image_with_a_twin(frame, answer, place, until):
    router = north_pier()
    router.stages.insert(place, lambda packet: answer)
    figure = packet_journey(follow(router, 0.0, "to Ticket Office", frame), until)
    assert is_told(figure)
    assert figure.text.startswith(figure.title)
