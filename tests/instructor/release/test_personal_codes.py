"""Personal codes: rebuilt from the class's seed and an id alone, and from nothing less."""

import base64
import csv
import hashlib
import itertools
import unicodedata

from course_lib.exercises.personal.code import read_code, whole_code
from instructor.release.personal_codes import code_of, write_codes

IDS = [f"student-{number}" for number in range(1000)]
LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"


def by_definition(key, message):
    """Work HMAC-SHA-256 out as RFC 2104, section 2, defines it, for a key of up to 64 octets."""
    key = key.ljust(64, b"\0")
    inner = hashlib.sha256(bytes(octet ^ 0x36 for octet in key) + message).digest()
    return hashlib.sha256(bytes(octet ^ 0x5C for octet in key) + inner).digest()


def test_a_code_is_the_head_of_a_keyed_digest():
    digest = by_definition(b"a seed", "personal code\0ülmus".encode())
    assert code_of("a seed", "ülmus") == whole_code(base64.b32encode(digest)[:10].decode())


def test_no_two_of_a_thousand_ids_have_the_same_code():
    codes = [code_of("a seed", name) for name in IDS]
    assert len(set(codes)) == len(IDS)
    assert [read_code(code) for code in codes] == codes


def test_another_seed_gives_everybody_another_code():
    assert not {code_of("a seed", name) for name in IDS} & {code_of("b seed", name) for name in IDS}


def test_neighbours_in_a_list_have_no_more_letters_in_common_than_chance_gives():
    """Of 9,990 pairs of letters one in 32 is the same: 312, with a deviation of 17.4."""
    codes = [code_of("a seed", name).replace("-", "")[:10] for name in IDS]
    same = sum(
        one == other
        for code, following in itertools.pairwise(codes)
        for one, other in zip(code, following, strict=True)
    )
    assert abs(same - 312) < 6 * 17.4
    assert set("".join(codes)) == set(LETTERS)


def test_an_id_is_the_same_however_its_letters_are_stored():
    one, other = (unicodedata.normalize(form, "Ülmus-é") for form in ("NFC", "NFD"))
    assert one != other
    assert code_of("a seed", one) == code_of("a seed", other) == code_of("a seed", f" {one}\n")
    assert code_of("a seed", "ülmus-é") != code_of("a seed", one)


def test_an_id_of_any_octets_has_a_code():
    assert read_code(code_of("a seed", "\udcff"))  # as a folder's name may be


def test_the_table_has_a_row_for_each_student_once(tmp_path):
    write_codes(tmp_path / "codes.csv", "a seed", ["alder", "ülmus", "alder", "=1+1"])
    with (tmp_path / "codes.csv").open(newline="", encoding="utf-8") as stream:
        rows = list(csv.reader(stream))
    assert rows == [
        ["student", "code"],
        ["alder", code_of("a seed", "alder")],
        ["ülmus", code_of("a seed", "ülmus")],
        ["'=1+1", code_of("a seed", "=1+1")],
    ]
