"""The strip of a frame shows its octets, names their fields, and marks what has changed."""

import re
import xml.etree.ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.ferry.north_pier_alone import ARRIVALS
from course_lib.figures.tracing.octet_strip import STRIP_HEIGHT, data_of, is_ipv4, octet_strip
from course_lib.tracing.steps import Octets
from pages.drawn_shapes import SVG, looks, shapes

PLAIN = ARRIVALS["plain"].frame


def cut(frame):
    return Octets(frame[:14], frame[14:])


def changed(frame, **octets):
    """Return a frame with other octets: at22=0x3f is octet 22, the time to live."""
    other = bytearray(frame)
    for place, octet in octets.items():
        other[int(place[2:])] = octet
    return bytes(other)


def parts(now, was=None, before=None):
    frames = [None if frame is None else cut(frame) for frame in (now, was, before)]
    return {part.key: part.markup for part in octet_strip(*frames, 0)}


def tree(markup):
    return ET.fromstring(f'<svg xmlns="{SVG[1:-1]}">{markup}</svg>')


def words(markup):
    return [one.text for one in shapes(tree(markup), "text")]


def octets_drawn(drawn):
    """Return the octets that are drawn one by one, by their places."""
    keys = sorted(int(key[6:]) for key in drawn if key.startswith("octet "))
    return {key: int(words(drawn[f"octet {key}"])[0], 16) for key in keys}


@pytest.mark.parametrize("name", ARRIVALS)
def test_every_octet_of_both_headers_is_drawn_where_it_belongs(name):
    frame = ARRIVALS[name].frame
    header = (frame[14] & 15) * 4
    drawn = parts(frame)
    assert octets_drawn(drawn) == dict(enumerate(frame[: 14 + header]))
    assert f"{len(frame) - 14 - header:,} octets" in words(drawn["data"])


# Names and places of the fields: RFC 791, section 3.1, behind 14 octets of Ethernet.
FIELDS = {
    14: (["version,", "length"], "4, 5"),
    16: (["total", "length"], "54"),
    18: (["identification"], "7"),
    20: (["flags,", "offset"], "0x0, 0"),
    22: (["time", "to live"], "64"),
    23: (["protocol"], "17"),
    24: (["checksum"], "0x2605"),
    26: (["source"], "198.51.100.2"),
    30: (["destination"], "198.51.100.66"),
}


@pytest.mark.parametrize(("octet", "field"), FIELDS.items())
def test_fields_have_names_and_a_meaning(octet, field):
    names, meaning = field
    assert words(parts(PLAIN)[f"field {octet}"]) == [*names, meaning]


MARKS = {
    "as it arrived": ({}, {}, "hit", False),
    "changed before": ({"at22": 63}, {"at22": 63}, "changed", True),
    "changed in this step": ({}, {"at22": 63}, "alert", True),
    "changed again": ({"at22": 62}, {"at22": 63}, "alert", True),
    "changed back": ({"at22": 63}, {}, "hit", False),
}


@pytest.mark.parametrize("name", MARKS)
def test_an_octet_is_marked_as_what_has_become_of_it(name):
    before, now, look, has_old = MARKS[name]
    drawn = parts(changed(PLAIN, **now), PLAIN, changed(PLAIN, **before))
    (box,) = looks(tree(drawn["octet 22"]), "rect")
    assert box == look
    assert ("old 22" in drawn) == has_old
    assert not has_old or words(drawn["old 22"]) == ["40"]
    others = {key: markup for key, markup in drawn.items() if key.startswith("octet ")}
    del others["octet 22"]
    assert all(looks(tree(markup), "rect") == ["hit"] for markup in others.values())


def test_an_old_octet_stands_right_above_the_new_one():
    drawn = parts(changed(PLAIN, at5=9), PLAIN, PLAIN)
    (old,), (new,) = (shapes(tree(drawn[key]), "text") for key in ("old 5", "octet 5"))
    middles = [sum(map(float, one.get("x").split())) / 2 for one in (old, new)]
    assert middles[0] == pytest.approx(middles[1])
    assert float(old.get("y")) < float(new.get("y"))
    assert float(old.get("font-size")) < float(new.get("font-size"))


DATA = [
    (PLAIN[:-4], PLAIN, ["data", "34 octets", "30 octets"], "alert"),
    (PLAIN[:-4], PLAIN[:-4], ["data", "34 octets", "30 octets"], "changed"),
    (PLAIN, PLAIN, ["data", "34 octets"], "hit"),
    (PLAIN[:-1] + b"!", PLAIN, ["data", "34 octets", "34 octets"], "alert"),
]


@pytest.mark.parametrize(("now", "before", "said", "look"), DATA)
def test_data_is_counted_and_marked_like_octets(now, before, said, look):
    drawn = tree(parts(now, PLAIN, before)["data"])
    assert [one.text for one in shapes(drawn, "text")] == said
    assert looks(drawn, "rect")[1] == look


def test_a_packet_of_the_router_s_own_has_no_ethernet_header_and_nothing_old():
    drawn = {part.key: part.markup for part in octet_strip(Octets(b"", PLAIN[14:]), None, None, 0)}
    assert all("gap" in looks(tree(drawn[f"field {start}"]), "rect") for start in (0, 6, 12))
    assert min(octets_drawn(drawn)) == 14
    assert not any(key.startswith("old ") for key in drawn)


def test_what_is_no_ipv4_stands_in_one_frame():
    frame = PLAIN[:12] + b"\x08\x06" + bytes(range(28))
    drawn = parts(frame)
    assert not is_ipv4(cut(frame))
    assert words(drawn["field 14"]) == ["what follows the Ethernet header"]
    assert octets_drawn(drawn) == dict(enumerate(frame[:34]))
    assert "8 octets" in words(drawn["data"])


@given(
    st.binary(max_size=90), st.none() | st.binary(max_size=90), st.none() | st.binary(max_size=90)
)
def test_any_octets_are_drawn_within_the_strip_and_none_is_lost(now, was, before):
    drawn = parts(now, was, before)
    octets = octets_drawn(drawn)
    assert len(octets) + len(data_of(cut(now))) == len(now)
    assert all(now[place] == octet for place, octet in octets.items())
    for markup in drawn.values():
        for box in shapes(tree(markup), "rect"):
            left, top, width, height = (float(box.get(n)) for n in ("x", "y", "width", "height"))
            assert left >= 18
            assert left + width <= 842
            assert 0 <= top <= top + height <= STRIP_HEIGHT
        for size in re.findall(r'font-size="([\d.]+)"', markup):
            assert float(size) >= 12.5
