"""Strip, header and sum of a packet: each in its place, and the same in picture and words."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.checksum import ones_complement_sum
from course_lib.figures.headers.frame_strip import frame_of, frame_parts
from course_lib.figures.headers.header_fields import read_header, with_field, with_flipped_bit
from course_lib.figures.headers.packet_scene import packet_scene
from course_lib.figures.headers.sum_bars import sum_of
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import IPV4
from pages.drawn_shapes import is_told, looks, shapes, words
from pages.words_in_figures import SIZE, boxes, covered

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum()
OCTETS = HEADER.build()
PADDED = bytes.fromhex("4600001a 006f0000 7b014419 c6336421 cb007101 94040000 4142") + bytes(20)
CASES = {
    "header alone": OCTETS,
    "with data": OCTETS + bytes(64),
    "padded": PADDED,
    "total length below the header": with_field(PADDED, IPV4.field("total_length"), 3),
    "total length beyond all": with_field(PADDED, IPV4.field("total_length"), 65535),
    "header length beyond all": with_field(PADDED, IPV4.field("header_length"), 15),
    "header length of nothing": with_field(PADDED, IPV4.field("header_length"), 0),
    "both at one place": with_field(PADDED, IPV4.field("total_length"), 24),
    "a bit flipped": with_flipped_bit(PADDED, 64),
    "1,500 octets": with_field(OCTETS, IPV4.field("total_length"), 1500) + bytes(1480),
    "longest header": HEADER._replace(options=bytes(40), total_length=60).build(),
}
PACKETS = pytest.mark.parametrize("octets", CASES.values(), ids=CASES)


def scene(octets, **asking):
    reading = read_header(octets, IPV4)
    scale = max(len(octets), reading.value("total_length")) if len(octets) > 60 else len(octets)
    return packet_scene(reading, frame_of(reading, scale, **asking))


def parts(scene):
    return {part.key: part.markup for part in scene.parts}


@pytest.mark.parametrize(
    ("octets", "pieces"),
    [
        (PADDED, [("header", 0, 24), ("data", 24, 26), ("padding", 26, 46)]),
        (OCTETS, [("header", 0, 20), ("not here", 20, 84)]),
        (OCTETS + bytes(64), [("header", 0, 20), ("data", 20, 84)]),
        (CASES["total length below the header"], [("header", 0, 24), ("padding", 24, 46)]),
        (CASES["header length beyond all"], [("header", 0, 46), ("not here", 46, 60)]),
        (CASES["header length of nothing"], [("data", 0, 26), ("padding", 26, 46)]),
    ],
)
def test_the_strip_shows_what_lies_where(octets, pieces):
    frame = frame_of(read_header(octets, IPV4), len(octets))
    assert frame.pieces() == pieces
    assert {name for name, _, _ in pieces} <= {part.key for part in frame_parts(frame, 0)}
    for name, start, stop in pieces:
        assert f"{name} {stop - start}" in frame.words()


def test_header_data_and_padding_have_a_texture_of_their_own():
    drawn = parts(scene(PADDED))
    textures = [re.sub(r"[\d.]+", "#", drawn[name]) for name in ("header", "data", "padding")]
    assert 'class="data"' in textures[1]
    assert len({re.sub("<title>.*?</title>", "", one) for one in textures}) == 3


def test_the_sum_runs_word_by_word_and_ends_at_all_ones():
    """RFC 1071, section 1: a carry comes in again; an intact header sums up to 0xffff."""
    found = sum_of(read_header(OCTETS, IPV4))
    assert list(found.words) == [int.from_bytes(OCTETS[at : at + 2]) for at in range(0, 20, 2)]
    expected = [ones_complement_sum(OCTETS[:end]) for end in range(2, 22, 2)]
    assert list(found.so_far) == expected
    assert (found.total, found.lacks) == (0xFFFF, 0)


@pytest.mark.parametrize("bit", range(0, 160, 7))
def test_a_flipped_bit_makes_the_sum_miss_and_tears_the_checksum(bit):
    octets = with_flipped_bit(OCTETS, bit)
    before, after = scene(OCTETS), scene(octets)
    found = sum_of(read_header(octets, IPV4))
    assert "torn" not in looks(before.figure())
    if found is None:  # the header length says something else
        assert "no sum:" in words(after.figure())
        return
    assert found.total == ones_complement_sum(octets)
    assert "torn" in looks(after.figure())
    assert "0xffff agrees" in parts(before)["sum 9"]
    assert f"{found.total:#06x} misses" in parts(after)["sum 9"]
    assert "slant" in parts(after)["sum 9"]


def test_bars_begin_where_the_one_above_has_ended():
    pieces = bars(scene(OCTETS))
    left, right = pieces[0][0][0], pieces[-1][-1][1]
    assert right - left == pytest.approx(104)
    end = left
    for bar in pieces:
        assert bar[0][0] == pytest.approx(end, abs=3)
        if len(bar) == 2:  # what lies beyond the right edge goes on from the left
            assert bar[0][1] == pytest.approx(right, abs=0.1)
            assert bar[1][0] == left
        end = bar[-1][1]


def bars(scene):
    """Return left and right end of the pieces of each bar; those of no width are left out."""
    found = []
    for place in range(10):
        boxes = re.findall(
            r'<rect x="([\d.]+)" [^>]*?width="([\d.]+)"', parts(scene)[f"sum {place}"]
        )
        ends = [(float(x), float(x) + float(width)) for x, width in boxes if float(width)]
        if ends:
            found.append(ends)
    return found


@PACKETS
@pytest.mark.parametrize(
    "asking", [{}, {"asked": True}, {"asked": True, "guess": 30}, {"guess": 46}]
)
def test_every_number_of_the_picture_is_in_both_texts(octets, asking):
    shown = scene(octets, **asking)
    figure = shown.figure()
    assert is_told(figure)
    for key in ("pieces", "fence header", "fence packet", "guess", "marks"):
        texts = re.findall(r"<text[^>]*>([^<]*)</text>", parts(shown).get(key, ""))
        for number in re.findall(r"\d+", " ".join(texts)):
            for twin in (figure.text, figure.alternative_text):
                assert re.search(rf"\b{number}\b", twin), (key, number)
    found = sum_of(read_header(octets, IPV4))
    for number in (*found.words, *found.so_far) if found else ():
        for twin in (figure.text, figure.alternative_text):
            assert f"{number:04x}" in twin


@settings(max_examples=60)
@given(st.binary(min_size=4, max_size=90))
def test_any_octets_can_be_shown(octets):
    figure = scene(octets).figure()
    assert is_told(figure)


@PACKETS
@pytest.mark.parametrize(
    "asking", [{}, {"asked": True}, {"guess": 3}], ids=["told", "asked", "guess"]
)
def test_words_stay_in_the_picture_and_do_not_cover_each_other(page, octets, asking):
    figure = scene(octets, **asking).figure()
    found = boxes(page, figure)
    width, height = page.evaluate(SIZE)
    assert covered(found) == []
    assert [one["words"] for one in found if one["x"] < 0 or one["right"] > width] == []
    assert [one["words"] for one in found if one["y"] < 0 or one["bottom"] > height] == []


@PACKETS
def test_no_words_are_smaller_than_can_be_read(octets):
    sizes = {float(one.get("font-size")) for one in shapes(scene(octets).figure(), "text")}
    assert min(sizes) >= 12.5
