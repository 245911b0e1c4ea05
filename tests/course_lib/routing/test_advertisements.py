"""Which of two advertisements is newer, and what is refused."""

from itertools import product

import pytest

from course_lib.routing.advertisements import (
    FIRST_SEQUENCE,
    LAST_SEQUENCE,
    MAX_AGE_S,
    Advertisement,
    AdvertisementHeader,
    compare,
    make_advertisement,
    problem_with_advertisement,
)

REED = make_advertisement("Reed Pier", 5, (("Plover", 2), ("Curlew", 1)), (("quay", 0),))


def header(sequence: int = 5, age_s: float = 0, checksum: int = 7) -> AdvertisementHeader:
    return AdvertisementHeader("Reed Pier", sequence, age_s, checksum)


@pytest.mark.parametrize(
    ("newer", "older"),
    [
        pytest.param(header(6), header(5), id="sequence"),
        pytest.param(header(1), header(-1), id="sequence, signed"),
        pytest.param(header(LAST_SEQUENCE), header(FIRST_SEQUENCE), id="ends of the numbers"),
        pytest.param(header(6, 3000), header(5, 0), id="sequence before age"),
        pytest.param(header(6, 0), header(5, MAX_AGE_S), id="sequence before death"),
        pytest.param(header(6, checksum=1), header(5, checksum=9), id="sequence before checksum"),
        pytest.param(header(checksum=9), header(checksum=8), id="checksum"),
        pytest.param(header(checksum=9), header(5, MAX_AGE_S, 8), id="checksum before death"),
        pytest.param(header(age_s=MAX_AGE_S), header(age_s=3599), id="dead"),
        pytest.param(header(age_s=MAX_AGE_S), header(age_s=0), id="dead, though older by far"),
        pytest.param(header(age_s=10), header(age_s=911), id="younger by more than 900 s"),
    ],
)
def test_newer(newer, older):
    """RFC 2328, section 13.1, in its order."""
    assert (compare(newer, older), compare(older, newer)) == (1, -1)


@pytest.mark.parametrize(("one_s", "other_s"), [(0, 0), (0, 900), (2700, 3599), (3600, 3600)])
def test_ages_that_differ_by_900_s_at_most_are_the_same_instance(one_s, other_s):
    assert compare(header(age_s=one_s), header(age_s=other_s)) == 0


def test_one_is_newer_exactly_if_the_other_is_older():
    headers = [
        header(sequence, age_s, checksum)
        for sequence, age_s, checksum in product((4, 5), (0, 800, 1800, 3600), (1, 2))
    ]
    assert all(compare(a, b) == -compare(b, a) for a, b in product(headers, repeat=2))


def test_the_checksum_does_not_see_the_age_but_everything_else():
    assert problem_with_advertisement(REED.at_age(100)) is None
    bodies = [
        ("Curlew", 5, REED.neighbours, REED.networks),
        ("Reed Pier", 6, REED.neighbours, REED.networks),
        ("Reed Pier", 5, REED.neighbours[:1], REED.networks),
        ("Reed Pier", 5, REED.neighbours, (("quay", 1),)),
    ]
    checksums = {make_advertisement(*body).header.checksum for body in bodies}
    assert len(checksums | {REED.header.checksum}) == 5


def test_no_age_exceeds_the_highest():
    assert REED.at_age(5000).header.age_s == MAX_AGE_S


def with_header(**fields: object) -> Advertisement[str]:
    return REED._replace(header=REED.header._replace(**fields))


@pytest.mark.parametrize(
    ("bad", "problem"),
    [
        ("Reed Pier", "malformed advertisement 'Reed Pier'"),
        (REED._replace(header=("Reed Pier", 5, 0, 0)), "malformed header"),
        (with_header(router=None), "malformed header"),
        (with_header(sequence=FIRST_SEQUENCE - 1), "sequence number -2147483648 is not from"),
        (with_header(sequence=LAST_SEQUENCE + 1), "sequence number 2147483648 is not from"),
        (with_header(sequence=1.0), "sequence number 1.0 is not from"),
        (with_header(age_s=-1), "age -1 s is not from 0 to 3600"),
        (with_header(age_s=3601), "age 3601 s is not from 0 to 3600"),
        (with_header(age_s=None), "age None s"),
        (with_header(checksum="x"), "malformed checksum 'x'"),
        (with_header(checksum=REED.header.checksum ^ 1), "does not fit the body"),
        (REED._replace(networks=()), "does not fit the body"),
        (REED._replace(networks=[]), "malformed list of networks"),
        (REED._replace(neighbours=(("Plover", 2), 3)), "neighbour 2: malformed 3"),
        (REED._replace(networks=((["quay"], 3),)), "network 1: malformed"),
        (REED._replace(neighbours=(("Plover", 0),)), "neighbour 1 ('Plover'): cost 0 is not"),
        (REED._replace(neighbours=(("Plover", 65536),)), "cost 65536 is not"),
        (REED._replace(networks=(("quay", -1),)), "network 1 ('quay'): cost -1 is not"),
        (REED._replace(neighbours=(("Reed Pier", 1),)), "('Reed Pier') is the router itself"),
    ],
)
def test_a_bad_advertisement_is_described(bad, problem):
    assert problem in problem_with_advertisement(bad)


def test_a_good_one_is_not_complained_about():
    assert problem_with_advertisement(REED) is None
