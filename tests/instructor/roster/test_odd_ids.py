"""Whose an odd id may be is proposed with the reason; several are several, and nobody is chosen."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instructor.roster.odd_ids import proposals

ROSTER = {"s003": "Linden Ashby", "s102": "Iris Moor", "s120": "", "alder": "", "x.y-7": ""}
TABLE = [
    ("S102", ["s102"]),
    (" s102 ", ["s102"]),
    ("s-0102", ["s102"]),
    ("s003 Some Name", ["s003"]),
    ("Some_Name_s3_assignsubmission", ["s003"]),
    ("Moor, Iris", ["s102"]),
    ("ＡＬＤＥＲ", ["alder"]),  # full-width letters
    ("adler", ["alder"]),
    ("X_Y 07", ["x.y-7"]),
    ("s102 s120", ["s102", "s120"]),
    ("s999", []),
    ("102", []),
    ("", []),
    ("Moor", []),  # half a name is nobody's
]


@pytest.mark.parametrize(("seen", "students"), TABLE)
def test_odd_ids_are_proposed(seen, students):
    assert [one.student for one in proposals(seen, ROSTER)] == students


@given(st.text(max_size=20))
def test_a_proposal_is_always_on_the_roster_and_each_once(seen):
    found = [one.student for one in proposals(seen, ROSTER)]
    assert set(found) <= set(ROSTER)
    assert len(found) == len(set(found))
