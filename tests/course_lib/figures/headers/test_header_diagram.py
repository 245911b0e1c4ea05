"""The diagram shows every field, bit and octet in its place, in the picture and in words."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.figures.headers.header_diagram import header_diagram, header_scene
from course_lib.figures.headers.header_fields import with_flipped_bit
from course_lib.headers.ipv4 import IPv4Header
from course_lib.headers.layouts import IPV4, LAYOUTS
from pages.drawn_shapes import is_told, looks, shapes, tree_of, words

BITS, HEX = "12.5", "14"  # sizes of letters
NAMES = [layout.name for layout in LAYOUTS]
HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum()
OCTETS = HEADER.build()
OPTIONS = HEADER._replace(options=bytes.fromhex("94040000 01010100")).build()


def digits_in(figure, size):
    """Return the digits of a size that are placed one by one, as {(x, y): digit}."""
    return {
        (float(x), float(one.get("y"))): digit
        for look in ("ink mono", "on-mark mono strong")
        for one in shapes(figure, "text", look)
        if one.get("font-size") == size
        for x, digit in zip(one.get("x").split(), one.text, strict=True)
    }


def in_reading_order(digits):
    return "".join(digits[place] for place in sorted(digits, key=lambda place: place[::-1]))


def bits_of(octets):
    return "".join(f"{octet:08b}" for octet in octets)


def line_of(text, field):
    return next(line for line in text.splitlines() if f"  {field}  " in line)


@pytest.mark.parametrize("field", IPV4.fields, ids=lambda field: field.name)
def test_every_field_is_named_with_its_value(field):
    found = words(header_diagram(OCTETS))
    assert field.name.replace("_", " ").capitalize() in found
    assert field.to_text(getattr(HEADER, field.name)) in found


def test_every_bit_stands_in_its_column_row_by_row():
    bits = digits_in(header_diagram(OCTETS), BITS)
    assert in_reading_order(bits) == bits_of(OCTETS)
    assert len({x for x, _ in bits}) == 32
    assert len({y for _, y in bits}) == 5


def test_every_hexadecimal_digit_stands_under_the_middle_of_its_four_bits():
    figure = header_diagram(OCTETS)
    digits, columns = digits_in(figure, HEX), sorted({x for x, _ in digits_in(figure, BITS)})
    middles = [sum(columns[at : at + 4]) / 4 for at in range(0, 32, 4)]
    assert in_reading_order(digits) == OCTETS.hex()
    assert sorted({x for x, _ in digits}) == pytest.approx(middles)


def test_the_ruler_counts_32_bits_over_their_columns():
    figure = header_diagram(OCTETS)
    columns = sorted({x for x, _ in digits_in(figure, BITS)})
    ruler = next(one for one in shapes(figure, "text") if one.text.startswith("01234"))
    assert ruler.text == "".join(map(str, range(32)))
    places = [float(x) for x in ruler.get("x").split()]
    middles = places[:10] + [sum(places[at : at + 2]) / 2 for at in range(10, 54, 2)]
    assert middles == pytest.approx(columns)


def test_the_text_twin_has_a_line_for_every_field():
    text = header_diagram(OCTETS).text
    for field in IPV4.fields:
        value = field.to_text(getattr(HEADER, field.name))
        line = line_of(text, field.name.replace("_", " "))
        assert value in line
        assert f"0x{getattr(HEADER, field.name):0{(field.bits + 3) // 4}x}" in line
    assert line_of(text, "fragment offset").split()[:2] == ["6-7", "51-63"]
    for row in range(5):
        margin = f"{row * 32}-{row * 32 + 31}", f"{row * 4}-{row * 4 + 3}"
        line = [*margin, *OCTETS[row * 4 : row * 4 + 4].hex(" ").split()]
        assert line in [one.split() for one in text.splitlines()]


def test_alternative_text_tells_shape_and_values():
    spoken = header_diagram(OCTETS).alternative_text
    assert spoken.startswith("Diagram of an IPv4 header, 32 bits wide, 5 rows. Version 4, ")
    assert "time to live 64" in spoken
    assert "destination 198.51.100.7." in spoken


def test_a_changed_field_carries_pattern_outline_and_word():
    figure = header_diagram(OCTETS, changed_bits=[64, 79])
    assert words(figure).count("changed") == 2  # time to live, protocol
    assert looks(figure).count("slant") == 2
    assert looks(figure).count("changed") == 4  # two fields, two octets
    assert [one.text for one in shapes(figure, "text", "on-mark mono strong")] == ["0", "1"]


def test_changes_are_told_in_title_twin_and_alternative_text():
    figure = header_diagram(OCTETS, changed_bits=[64, 79, 80])
    assert figure.title == "IPv4 header: 3 bits changed, in time to live, protocol and checksum"
    assert line_of(figure.text, "time to live").endswith("changed: bit 64")
    assert "Changed: bits 64, 79 and 80, in time to live" in figure.alternative_text


def test_a_title_has_no_room_for_many_fields():
    title = header_diagram(OCTETS, changed_bits=range(160)).title
    assert title == "IPv4 header: 160 bits changed, in 12 fields"


def test_nothing_is_marked_unless_asked_for():
    found = set(looks(header_diagram(OCTETS)))
    assert not {"changed", "slant", "chosen", "gap", "alert"} & found


def test_every_bit_that_is_there_can_be_pressed_and_says_where_it_stands():
    touches = header_scene(OCTETS[:13]).touches
    assert [touch.value for touch in touches] == list(range(13 * 8))
    assert touches[64].name == "Bit 64: the highest bit of time to live, worth 128, is 0"
    assert {touch.action for touch in touches} == {"flip"}


def test_a_flipped_bit_changes_only_parts_of_its_own():
    """What stays must not move, and what changes keeps its key, so that a page can show it."""
    before, after = (
        {part.key: part.markup for part in header_scene(octets, changed_bits=bits).parts}
        for octets, bits in ((OCTETS, ()), (with_flipped_bit(OCTETS, 64), (64,)))
    )
    assert before.keys() == after.keys()
    differing = {key for key in before if before[key] != after[key]}
    assert differing == {"title", "field time_to_live 64", "octet 8", "bit 64"}


def test_options_are_drawn_in_rows_of_their_own():
    figure = header_diagram(OPTIONS + bytes(3))
    assert figure.title == "IPv4 header: 28 octets in 7 rows of 32 bits"
    assert "94 04 00 00" in words(figure)
    assert in_reading_order(digits_in(figure, HEX)) == OPTIONS.hex()
    assert in_reading_order(digits_in(figure, BITS)) == bits_of(OPTIONS)
    assert "3 octets follow the header, not drawn here." in words(figure)


@pytest.mark.parametrize("present", range(21))
def test_a_header_cut_off_anywhere_is_drawn_as_far_as_it_goes(present):
    figure = header_diagram(OCTETS[:present])
    assert in_reading_order(digits_in(figure, BITS)) == bits_of(OCTETS[:present])
    assert in_reading_order(digits_in(figure, HEX)) == OCTETS[:present].hex()
    assert looks(figure).count("gap") >= 20 - present
    assert ("cut short" in figure.text) is (present < 20)


def test_a_field_that_is_cut_says_so_and_a_missing_one_too():
    found = words(header_diagram(OCTETS[:13]))
    assert found.count("cut off") == 1  # the source, of which one octet is there
    assert found.count("missing") == 1
    assert "Note: IPv4 header is cut short: 13 octets are there" in " ".join(found)


@settings(max_examples=60)
@given(st.sampled_from(NAMES), st.binary(max_size=70), st.data())
def test_any_octets_make_a_well_formed_image_with_words(name, octets, data):
    figure = header_diagram(octets, name)
    height = float(tree_of(figure).get("height"))
    assert is_told(figure)
    assert all(float(one.get("y")) <= height for one in shapes(figure, "text"))


@pytest.mark.parametrize("name", NAMES)
def test_every_layout_can_be_drawn_with_every_bit_marked(name):
    layout = next(one for one in LAYOUTS if one.name == name)
    figure = header_diagram(bytes(layout.octets), name, changed_bits=range(layout.octets * 8))
    assert f"{layout.octets * 8} bits changed" in figure.title
    assert all(field.name.replace("_", " ") in figure.text for field in layout.fields)


@pytest.mark.parametrize("bit", [-1, 160])
def test_bits_outside_the_header_are_refused(bit):
    with pytest.raises(
        ValueError, match=f"bit {bit} is not in the header, whose bits are 0 to 159"
    ):
        header_diagram(OCTETS, changed_bits=[bit])


def test_the_same_octets_give_the_same_picture():
    assert header_diagram(OCTETS) == header_diagram(bytearray(OCTETS))
