"""The first picture of each workbook: true, readable, and the same in words."""

import re
import xml.etree.ElementTree as ET
from ipaddress import ip_address, ip_network

import pytest

from course_lib.ferry import north_pier
from course_lib.figures.drawing.palette import LIGHT
from course_lib.figures.ferry import first_looks
from course_lib.figures.ferry.first_looks import FIRST_LOOKS
from course_lib.figures.ferry.harbour import HEIGHT, NIGHT, WIDTH
from instructor.release.workbook_files import read_workbook, unit_names
from pages.page_reader import contrast
from pages.words_in_figures import boxes, covered

SVG = "{http://www.w3.org/2000/svg}"
UNITS = sorted(FIRST_LOOKS)


def texts(unit):
    """Return the words in a picture and their sizes."""
    root = ET.fromstring(FIRST_LOOKS[unit]().svg)
    return [(one.text, float(one.get("font-size"))) for one in root.iter(f"{SVG}text")]


def code_of(unit):
    return "\n".join(c.source for c in read_workbook(unit).cells if c.cell_type == "code")


def octets_of(source):
    """Return all octets that a workbook's code writes down, one behind the other."""
    return "".join(re.findall(r'fromhex\("([0-9a-f ]+)"\)', source)).replace(" ", "")


def test_every_workbook_has_one():
    assert tuple(UNITS) == unit_names()


@pytest.mark.parametrize("unit", UNITS)
def test_what_is_written_in_it_is_in_its_alternative_text_too(unit):
    said = FIRST_LOOKS[unit]().alternative_text
    *inside, question = [words for words, _ in texts(unit)]
    alone = said.replace(" ", "")
    loose = [one for one in inside if one not in said and len(one) > 1]
    assert [one for one in loose if one not in ("sent", "arrived", "Reed Pier to Plover")] == []
    assert "".join(one for one in inside if one in ("0", "1")) in alone.replace(
        ";ontherightastheyarrived,", ""
    )
    assert question.endswith("?")
    assert len(said.split()) <= 80


@pytest.mark.parametrize("unit", UNITS)
def test_its_words_are_large_enough_when_a_page_is_900_pixels_wide(unit):
    """There JupyterLab leaves 690 of them to a text cell, measured with its side bar shut."""
    assert min(size for _, size in texts(unit)) * 690 / WIDTH >= 11


@pytest.mark.parametrize("unit", UNITS)
def test_its_words_stay_in_it_and_cover_none(page, unit):
    found = boxes(page, FIRST_LOOKS[unit]())
    assert found
    assert [one for one in found if one["x"] < 0 or one["right"] > WIDTH] == []
    assert [one for one in found if one["y"] < 0 or one["bottom"] > HEIGHT] == []
    assert covered(found) == []


def test_the_octets_at_sea_are_those_of_the_workbook():
    assert first_looks.PACKET.hex() in octets_of(code_of("01-frames-and-headers"))


def test_the_bits_on_the_cable_are_a_word_of_the_workbook_and_one_is_turned():
    word = f"{int(first_looks.WORD, 2):04x}"
    assert word in re.findall(r"[0-9a-f]{4}", octets_of(code_of("02-checksums")))
    bits = "".join(words for words, _ in texts("02-checksums") if words in ("0", "1"))
    sent, arrived = bits[:16], bits[16:]
    assert sent == first_looks.WORD
    differ = [place for place in range(16) if sent[place] != arrived[place]]
    assert differ == [first_looks.TURNED]


def test_all_three_routes_cover_the_boat_s_address():
    address = ip_address(f"203.0.113.{first_looks.ADDRESS}")
    for length, first, count in first_looks.ROUTES:
        block = ip_network(f"203.0.113.{first}/{length}")
        assert address in block
        assert count == block.num_addresses


def test_the_gates_are_the_stages_of_the_router_in_their_order():
    assert tuple(str(stage) for stage in north_pier().stages) == first_looks.STAGES


@pytest.mark.parametrize("theme", [NIGHT, LIGHT])
@pytest.mark.parametrize(
    ("front", "ground", "least"),
    [("ink", "paper", 4.5), ("ink", "tint", 4.5), ("quiet", "paper", 4.5), ("quiet", "tint", 4.5),
     ("paper", "calm", 4.5), ("paper", "ink", 4.5), ("line", "paper", 3), ("alert", "paper", 3)],
)  # fmt: skip
def test_words_and_lines_stand_out_by_night_and_on_paper(theme, front, ground, least):
    assert contrast(getattr(theme, front), getattr(theme, ground)) >= least
