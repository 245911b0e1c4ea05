"""Answers that say the same thing in other words come together; all come, and once."""

from hypothesis import given
from hypothesis import strategies as st

from instructor.marking.likeness import groups

PADDING = [
    "The frame is padded to 46 octets, so the 20 octets of padding look like payload.",
    "Because of padding: a frame of 46 octets has padding, the router takes padding as payload.",
    "Padding octets would be taken for payload, as the frame is padded up to 46 octets.",
]
CHECKSUM = [
    "The checksum of the header would be wrong, and the next hop drops the packet.",
    "The next hop drops it since the header checksum is wrong.",
]


def test_alike_ones_come_together_whatever_order_they_came_in():
    texts = [PADDING[0], CHECKSUM[0], PADDING[1], "No idea.", CHECKSUM[1], PADDING[2]]
    found = [{texts[place] for place in group} for group in groups(texts)]
    assert found == [set(PADDING), set(CHECKSUM), {"No idea."}]


@given(st.lists(st.text(alphabet="ab ,\n\u00e9\u4e2d", max_size=12), max_size=12))
def test_every_text_is_in_one_group_and_larger_ones_come_first(texts):
    found = groups(texts)
    assert sorted(place for group in found for place in group) == list(range(len(texts)))
    assert [len(group) for group in found] == sorted(map(len, found), reverse=True)
