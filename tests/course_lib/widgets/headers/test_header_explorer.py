"""The header explorer follows every touch, in picture and in words."""

import random

import pytest

from course_lib.figures.headers.frame_strip import frame_of
from course_lib.figures.headers.header_fields import read_header
from course_lib.figures.headers.packet_scene import packet_scene
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import IPV4, LAYOUTS, UDP
from course_lib.headers.transport import TCPHeader, UDPHeader
from course_lib.widgets.headers.header_explorer import explore_header
from course_lib.widgets.headers.header_remarks import change_in_words

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum()
OCTETS = HEADER.build()
PADDED = bytes.fromhex(
    "4600001a 006f0000 7b014419 c6336421 cb007101 94040000 4142"  # six words, two octets of data
) + bytes(20)


@pytest.fixture
def explorer():
    return explore_header(OCTETS)


def said(explorer):
    return " ".join(explorer.picture.words)


def give(explorer, field, text):
    explorer.act("field", field.replace("_", " "))
    explorer.act("value", str(text))
    return explorer


def drawn(explorer):
    return {part.key: part.markup for part in explorer.picture.scenes[-1].parts}


def touches(explorer, action):
    return [one for one in explorer.picture.scenes[-1].touches if one.action == action]


def control(explorer, action):
    return next((one for one in explorer.picture.controls if one.action == action), None)


def test_it_begins_with_the_packet_as_it_was_given(explorer):
    reading = read_header(OCTETS, IPV4)
    assert explorer.picture.scenes[-1] == packet_scene(reading, frame_of(reading, 84))
    assert "Press any bit to flip it" in said(explorer)
    assert "the checksum agrees" in said(explorer)
    assert "Parse accepts the header." in said(explorer)


@pytest.mark.parametrize("field", IPV4.fields, ids=lambda field: field.name)
def test_a_field_that_is_chosen_shows_its_value_and_its_range(explorer, field):
    explorer.act("field", field.name.replace("_", " "))
    value = control(explorer, "value")
    assert value.now == field.to_text(getattr(HEADER, field.name))
    assert value.name == f"Value, 0 to {field.largest}"
    assert explorer.octets == OCTETS


@pytest.mark.parametrize("field", IPV4.fields, ids=lambda field: field.name)
def test_a_value_as_it_is_shown_can_be_typed_again(explorer, field):
    name = field.name.replace("_", " ")
    explorer.act("field", name)
    give(explorer, name, control(explorer, "value").now)
    assert explorer.octets == OCTETS
    assert explorer.view["problem"] == ""


@pytest.mark.parametrize(
    ("field", "typed", "value"),
    [("time_to_live", "63", 63), ("flags", "0b111", 7), ("source", "255.255.255.255", 2**32 - 1),
     ("fragment_offset", "0x1fff", 8191), ("identification", " 007 ", 7)],
)  # fmt: skip
def test_a_value_that_is_typed_changes_the_octets(explorer, field, typed, value):
    give(explorer, field, typed)
    assert explorer.octets == HEADER._replace(**{field: value}).build()
    if explorer.octets != OCTETS:
        assert f"{field.replace('_', ' ').capitalize()}: " in said(explorer)
        assert ">changed<" in explorer.picture.scenes[-1].figure().svg


@pytest.mark.parametrize("typed", ["2.7", "16", "-1", "four", ""])
def test_what_does_not_fit_is_refused_with_a_word_and_nothing_changes(explorer, typed):
    give(explorer, "header_length", typed)
    assert explorer.view["problem"].startswith("Nothing has changed. ")
    assert explorer.octets == OCTETS


def test_a_flipped_bit_changes_its_field_and_brings_it_to_the_hand(explorer):
    """RFC 791, section 3.1: time to live is octet 8; its first bit is bit 64, worth 128."""
    explorer.act("flip", 64)
    assert explorer.octets[8] == 64 + 128
    assert explorer.field == "time to live"
    assert control(explorer, "value").now == "192"
    assert (
        "Bit 64 is the highest bit of time to live, worth 128. Time to live: 64 → 192. "
        "Octet 8: 40 → c0." in said(explorer)
    )


def test_the_checksum_and_the_parser_are_asked_each_time(explorer):
    explorer.act("flip", 64)
    assert "the checksum does not agree" in said(explorer)
    assert "Parse refuses the header, wrong checksum: IPv4 checksum" in said(explorer)
    explorer.act("flip", 64)
    assert "the checksum agrees" in said(explorer)
    assert "Parse accepts" in said(explorer)


def test_mending_gives_the_header_the_checksum_that_it_asks_for(explorer):
    explorer.act("flip", 64)
    explorer.act("checksum")
    assert explorer.octets == HEADER._replace(time_to_live=192).with_checksum().build()
    assert "the checksum agrees" in said(explorer)


def test_only_an_ipv4_header_that_is_there_can_be_mended():
    assert control(explore_header(OCTETS), "checksum") is not None
    assert control(explore_header(OCTETS[:11]), "checksum") is None
    assert control(explore_header(bytes(8), "UDP"), "checksum") is None


def test_every_bit_can_be_flipped_and_flipped_back(explorer):
    for bit in range(160):
        explorer.act("flip", bit)
        assert explorer.octets != OCTETS
        explorer.act("flip", bit)
    assert explorer.octets == OCTETS


def test_start_again_undoes_everything(explorer):
    give(explorer, "version", 6).act("flip", 5)
    explorer.act("again")
    assert explorer.octets == OCTETS
    assert ">changed<" not in explorer.picture.scenes[-1].figure().svg
    assert "Parse accepts" in said(explorer)


def test_a_wrong_version_is_refused_in_the_words_of_the_parser(explorer):
    give(explorer, "version", 6)
    assert "Parse refuses the header, wrong version: IPv4 version (octet 0) is 6" in said(explorer)


def test_a_header_length_that_lies_shows_options_that_are_missing(explorer):
    give(explorer, "header_length", 7)
    assert "The checksum cannot be checked" in said(explorer)
    text = explorer.picture.scenes[-1].words.text
    assert "the header says that it has 28 octets, 20 are there" in text
    assert "wrong header length" in said(explorer)


def test_bits_behind_the_header_can_not_be_pressed():
    explorer = explore_header(HEADER._replace(options=bytes(4)).build())
    assert len(touches(explorer, "flip")) == 24 * 8
    give(explorer, "header_length", 5)
    assert len(touches(explorer, "flip")) == 20 * 8


def test_long_options_are_folded_so_that_all_of_it_fits_whatever_the_fences_say():
    explorer = explore_header(HEADER._replace(options=bytes(range(40))).build())
    assert len(touches(explorer, "flip")) == 20 * 8
    assert ">27<" in drawn(explorer)["octet 59"]
    padded = explore_header(PADDED, ask_end=True, guess=46)
    padded.act("answer")
    for words in range(16):
        for one in (explorer, padded):
            one.act("header length", words)
            assert one.picture.scenes[-1].size[1] <= 640 - 110


def test_a_packet_keeps_its_payload_and_a_header_alone_is_parsed_as_if_it_had_one():
    packet = OCTETS + bytes(64)
    for octets in (OCTETS, packet):
        explorer = explore_header(octets)
        assert "Parse accepts" in said(explorer)
        give(explorer, "total_length", 85)
        assert "Parse refuses the header, wrong checksum" in said(explorer)
        assert explorer.octets[20:] == octets[20:]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda layout: layout.name)
def test_every_header_can_be_explored(layout):
    explorer = explore_header(bytes(layout.octets), layout.name)
    for field in layout.fields:
        give(explorer, field.name, field.largest)
    assert explorer.octets == b"\xff" * layout.octets
    assert "Parse" in said(explorer)


def test_the_parser_of_each_header_is_the_one_that_is_asked():
    udp, tcp = UDPHeader(1, 2, 7, 0).build(), TCPHeader(1, 2, 3, 4, 0, 0, 7, 8, 9).build()
    assert "wrong UDP length" in said(explore_header(udp, "UDP"))
    assert "Parse accepts" in said(explore_header(tcp, "TCP"))


@pytest.mark.parametrize("present", [1, 2, 13, 19])
def test_a_header_that_is_cut_short_can_be_explored(present):
    explorer = explore_header(OCTETS[:present])
    explorer.act("flip", present * 8 - 1)
    assert explorer.octets[-1] == OCTETS[present - 1] ^ 1
    assert "Parse refuses the header, cut short" in said(explorer)


def test_octets_too_few_for_any_field_leave_the_bits():
    explorer = explore_header(bytes(3), "Ethernet")
    explorer.act("flip", 0)
    assert explorer.octets == b"\x80\0\0"
    assert [one.action for one in explorer.picture.controls] == ["again"]


def test_no_octets_and_no_bytes_are_refused():
    with pytest.raises(ValueError, match="at least one octet"):
        explore_header(b"")
    with pytest.raises(TypeError, match="must be given as bytes"):
        explore_header(20)
    with pytest.raises(ValueError, match="no header called"):
        explore_header(OCTETS, "IPv5")


@pytest.mark.parametrize(
    ("octets", "options", "answered"),
    [
        (OCTETS, {}, False),
        (PADDED, {}, False),
        (PADDED, {"ask_end": True}, False),
        (PADDED, {"ask_end": True, "guess": 9}, False),
        (PADDED, {"ask_end": True, "guess": 9}, True),
    ],
)
def test_all_of_it_fits_a_laptop_with_room_for_the_controls(octets, options, answered):
    explorer = explore_header(octets, **options)
    if answered:
        explorer.act("answer")
    _, height = explorer.picture.scenes[-1].size
    lines = len(explorer.picture.words)
    assert height <= 640 - 36 - 20 * lines - 22  # a row above, words, the folded text below
    assert len(explorer.picture.controls) <= 4


@pytest.mark.parametrize(
    ("fence", "value", "field"),
    [("header length", 5, "header_length"), ("header length", 0, "header_length"),
     ("header length", 15, "header_length"), ("total length", 0, "total_length"),
     ("total length", 30, "total_length"), ("total length", 60, "total_length")],
)  # fmt: skip
def test_the_field_follows_a_fence_that_is_dragged(fence, value, field):
    explorer = explore_header(PADDED)
    explorer.act(fence, value)
    assert read_header(explorer.octets, IPV4).value(field) == value
    assert explorer.field == fence
    assert control(explorer, "value").now == str(value)
    assert [touch.now for touch in touches(explorer, fence)] == [value]
    assert not explorer.picture.moves


@pytest.mark.parametrize(
    ("field", "typed", "now", "words"),
    [("header_length", 7, 7, "7 words of 4 octets, 28 octets"),
     ("total_length", 40, 40, "40 octets"),
     ("total_length", 65535, 60, "65,535 octets")],
)  # fmt: skip
def test_a_fence_follows_a_field_that_is_typed(field, typed, now, words):
    explorer = give(explore_header(PADDED), field, typed)
    (fence,) = touches(explorer, field.replace("_", " "))
    assert (fence.now, fence.words) == (now, words)


def test_a_fence_stands_still_under_the_hand_whatever_it_says():
    """The strip is on top: more or fewer rows below do not move it."""
    explorer = explore_header(PADDED)
    scenes = []
    for words in range(16):
        explorer.act("header length", words)
        scenes.append(drawn(explorer))
    assert len({scene["came"] for scene in scenes}) == 1


ASKED = "Where does the packet end?"


@pytest.mark.parametrize("guess", [None, 0, 26, 46])
def test_nothing_tells_where_the_packet_ends_before_the_reader_has_guessed(guess):
    explorer = explore_header(PADDED, ask_end=True, guess=guess)
    picture = explorer.picture
    keys = {part.key for part in picture.scenes[-1].parts}
    assert not keys & {"fence header", "fence packet", "padding", "data", "pieces", "answer"}
    assert [touch.key for touch in picture.scenes[-1].touches] == ["guess"]
    assert [one.action for one in picture.controls] == ["guess", "answer"]
    for words in (said(explorer), *picture.scenes[-1].words):
        assert "padding" not in words
        assert "end at" not in words
    if guess is None:
        assert said(explorer).startswith(ASKED)


def test_a_guess_may_be_typed_or_dragged_and_the_answer_comes_beside_it():
    explorer = explore_header(PADDED, ask_end=True)
    explorer.act("answer")
    assert explorer.view["problem"].startswith(f"Nothing has changed. Guess first. {ASKED}")
    explorer.act("guess", 40)
    assert not explorer.picture.moves
    explorer.act("guess", " 0x2e ")
    assert "your guess: 46" in drawn(explorer)["guess"]
    explorer.act("answer")
    assert "Your guess: 46. The answer: 26." in said(explorer)
    assert {"guess", "fence header", "fence packet", "padding"} <= drawn(explorer).keys()
    assert touches(explorer, "flip")
    explorer.act("flip", 64)
    assert "Time to live: 123 → 251" in said(explorer)
    assert "your guess: 46" in drawn(explorer)["guess"]


@pytest.mark.parametrize("typed", ["2.7", "-1", "70000", "", "end"])
def test_a_guess_that_is_no_octet_is_refused_with_a_word(typed):
    explorer = explore_header(PADDED, ask_end=True)
    explorer.act("guess", typed)
    assert explorer.view["problem"].startswith("Nothing has changed. ")
    assert explorer.guess.given is None
    with pytest.raises(ValueError, match="is not"):
        explore_header(PADDED, ask_end=True, guess=typed)


def test_a_guess_beyond_the_strip_stands_at_its_end_and_keeps_its_number():
    explorer = explore_header(PADDED, ask_end=True, guess=260)
    (flag,) = touches(explorer, "guess")
    assert (flag.now, flag.words) == (60, "octet 260")
    assert "your guess: 260" in drawn(explorer)["guess"]


@pytest.mark.parametrize(("octets", "layout"), [(OCTETS[:3], "IPv4"), (bytes(8), "UDP")])
def test_where_no_length_is_there_nothing_is_asked(octets, layout):
    with pytest.raises(ValueError, match="only an IPv4 header with a total length"):
        explore_header(octets, layout, ask_end=True)


@pytest.mark.parametrize("seed", range(5))
def test_after_any_moves_picture_and_controls_agree_with_the_octets(explorer, seed):
    rng = random.Random(seed)
    for _ in range(40):
        give(explorer, rng.choice(IPV4.fields).name, rng.randrange(2**4))
        explorer.act("flip", rng.randrange(160))
    known = {one.words: one.text for one in read_header(explorer.octets, IPV4).fields}
    assert control(explorer, "value").now == known[explorer.field]
    changed = [bit for bit in range(160) if bit_of(explorer.octets, bit) != bit_of(OCTETS, bit)]
    reading = read_header(explorer.octets, IPV4)
    assert explorer.picture.scenes[-1] == packet_scene(reading, frame_of(reading, 84), changed)


def bit_of(octets, bit):
    return octets[bit // 8] >> (7 - bit % 8) & 1


def test_changes_are_told_field_by_field_and_octet_by_octet():
    words = change_in_words(bytes.fromhex("03e807d0000b4386"), bytes(8), UDP)
    assert words.startswith("Source port: 1000 → 0; destination port: 2000 → 0; length: 11 → 0")
    assert "Octets 0: 03 → 00, 1: e8 → 00" in words
    assert change_in_words(OCTETS, OCTETS, IPV4) == "Nothing has changed."
