"""A roster is read as the office keeps it, or an error says which line to change."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from instructor.output.tables import write_table
from instructor.roster.class_list import read_class_list
from instructor.roster.kept_list import KeptList, read_kept_list, write_kept_list
from instructor.roster.typed_table import TypedTableError

TWO = {"s101": "Ольха Берёзова", "s102": "Rowan O'Hazel, Jr."}
READ = {
    "commas": b"id,name\ns101,\xd0\x9e\xd0\xbb\xd1\x8c\xd1\x85\xd0\xb0 \xd0\x91\xd0\xb5\xd1\x80\xd1"
    b"\x91\xd0\xb7\xd0\xbe\xd0\xb2\xd0\xb0\ns102,\"Rowan O'Hazel, Jr.\"\n",
    "semicolons": "name;id\r\nОльха Берёзова;s101\r\nRowan O'Hazel, Jr.;s102\r\n".encode(),
    "byte-order mark": "\ufeffid;name\ns101;Ольха Берёзова\ns102;Rowan O'Hazel, Jr.\n".encode(),
    "tabs": "Student ID\tGroup\tName\ns101\t1\tОльха Берёзова\ns102\t2\tRowan O'Hazel, Jr."
    .encode(),
    "UTF-16": "ID\tName\ns101\tОльха Берёзова\ns102\tRowan O'Hazel, Jr.\n".encode("utf-16"),
    "two columns of names": "Last name;First name;Username\nБерёзова;Ольха;s101\n"
    "O'Hazel, Jr.;Rowan;s102\n".encode(),
    "quotes everywhere": "\"id\",\"name\"\n\"s101\",\"Ольха Берёзова\"\n"
    "\"s102\",\"Rowan O'Hazel, Jr.\"\n".encode(),
    "letters with accents apart": "id;name\ns101;Ольха Бере\u0308зова\n"
    "s102;Rowan O'Hazel, Jr.\n".encode(),
}  # fmt: skip


@pytest.fixture
def roster(tmp_path):
    def write(octets):
        (tmp_path / "roster.csv").write_bytes(octets)
        return tmp_path / "roster.csv"

    return write


@pytest.mark.parametrize("octets", READ.values(), ids=READ)
def test_a_roster_is_read_in_every_shape(octets, roster):
    assert read_class_list(roster(octets)).names == TWO


@pytest.mark.parametrize(
    "text", ["alder\nbracken\n", "id\nalder\n\nbracken", "\ufeffalder\r\nbracken"]
)
def test_a_single_column_of_ids_needs_no_heading(text, roster):
    assert read_class_list(roster(text.encode())).ids == ("alder", "bracken")


REFUSED = {
    "no heading": (b"alder;Al Der\nbracken;B", r"line 1 has several columns"),
    "an id twice": (b"id;name\nalder;A\nalder;B", r"line 3: the id 'alder' stands in line 2"),
    "no id": (b"id;name\n;Nobody", r"line 2 has no id"),
    "nobody": (b"id;name\n", r"names nobody"),
    "another encoding": (b"id;name\nalder;\xe4", r"not UTF-8 text \(line 2\)"),
    "a formula": (b"id;name\n=1+1;A", r"line 2: '=1\+1' is no id"),
    "an open quote": (b'id;name\n"alder;A\n', r"line 2: unexpected end"),
    "too long": (b"id\n" + b"a" * 129, r"at most 128 characters"),
}


@pytest.mark.parametrize(("octets", "words"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_meant_is_refused_with_its_line(octets, words, roster):
    with pytest.raises(TypedTableError, match=words):
        read_class_list(roster(octets))


NAMES = st.text(st.characters(exclude_categories=["C", "Z"]), max_size=9)


@settings(max_examples=15)
@given(st.dictionaries(st.from_regex(r"[a-z][a-z0-9]{0,9}", fullmatch=True), NAMES, min_size=1))
def test_what_is_kept_is_read_again(tmp_path_factory, names):
    folder = tmp_path_factory.mktemp("kept")
    same = {f"={one}": one for one in names}  # a folder's name that a spreadsheet would run
    write_kept_list(folder, KeptList(names, same))
    again = read_kept_list(folder)
    assert list(again.names) == list(names)
    assert [again.whose(seen) for seen in same] == list(names)
    for name in ("roster.csv", "ids.csv"):
        assert (folder / name).stat().st_mode & 0o077 == 0


def test_the_table_of_a_spreadsheet_that_cuts_at_semicolons_is_read(tmp_path):
    write_table(tmp_path / "r.csv", ("name", "id"), [("A; B", "alder")], delimiter=";")
    assert read_class_list(tmp_path / "r.csv").names == {"alder": "A; B"}
