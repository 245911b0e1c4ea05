"""The clauses: each can be read by itself, and asks for nothing that its standard leaves open."""

import re

import pytest

from course_lib.checksum import checksum
from course_lib.conformance import SCENARIOS, Outcome, conformance_board
from course_lib.conformance.scenario import PLAIN
from course_lib.ip.icmp_errors import is_error
from course_lib.ip.packets import OutgoingFrame
from networks.spoiled_frames import Around, library_router, own, taken_apart

NAMES = [each.name for each in SCENARIOS]
STANDARDS = {"RFC 791", "RFC 792", "RFC 826", "RFC 1071", "RFC 1191", "RFC 1812", "RFC 3021"}
GROUPS = {"headers", "ways", "neighbours", "errors", "options", "fragments", "own packets"}


def test_there_is_a_clause_of_every_standard_and_of_every_kind():
    ours = [each for each in SCENARIOS if each.standard in STANDARDS]
    assert len(ours) >= 60
    assert {each.standard for each in ours} == STANDARDS
    assert {each.group for each in SCENARIOS} == GROUPS


def test_names_are_names():
    assert len(set(NAMES)) == len(NAMES)


@pytest.mark.parametrize("scenario", SCENARIOS, ids=NAMES)
def test_a_clause_says_what_it_wants_and_rests_on_earlier_ones_only(scenario):
    assert re.fullmatch(r"RFC \d+, (section|page|frame|\").*", scenario.clause)
    assert scenario.rule
    assert not scenario.rule.endswith(".")
    assert scenario.expected.words
    assert set(scenario.needs) <= set(NAMES[: NAMES.index(scenario.name)])
    assert all(given.at_s <= scenario.until_s for given in scenario.given)


def test_a_core_clause_rests_on_no_extra_one():
    extras = {each.name for each in SCENARIOS if not each.is_core}
    assert [each.name for each in SCENARIOS if each.is_core and extras & set(each.needs)] == []


def test_the_library_keeps_every_clause():
    board = conformance_board(library_router)
    assert board.names(Outcome.PASSED) == tuple(NAMES)


def test_whatever_a_router_sends_out_of_nothing_passes_no_clause_by_accident():
    """A router that never sends anything keeps only what forbids, and what rests on nothing."""

    class Silence:
        def receive(self, now_s, interface, frame):
            return []

        tick = receive

        def next_tick_s(self):
            return float("inf")

    board = conformance_board(lambda interfaces, routes: Silence())
    assert board.names(Outcome.PASSED) == ()


# ---- what the standards leave open ---------------------------------------------------


def error_fields(**fields):
    return own(lambda header, payload: (header._replace(**fields), payload), errors=True)


def reply_fields(**fields):
    return own(lambda header, payload: (header._replace(**fields), payload), errors=False)


def little_quoted(interfaces, routes):
    """A router that quotes a header and 8 octets, as RFC 792 has it."""

    def short(sent):
        found = taken_apart(sent)
        if found is None or not is_error(*found):
            return [sent]
        header, payload = found
        octets = 8 + (payload[8] & 15) * 4 + 8
        bare = payload[:2] + bytes(2) + payload[4:octets]
        message = bare[:2] + summed(bare) + bare[4:]
        cut = header._replace(total_length=20 + len(message)).with_checksum()
        return [OutgoingFrame(sent.interface, sent.frame[:14] + cut.build() + message)]

    return Around(library_router(interfaces, routes), outwards=short)


def summed(octets):
    return checksum(octets).to_bytes(2, "big")


class Backwards(Around):
    """A router that gives its frames in the other order."""

    def receive(self, now_s, interface, frame):
        frames = super().receive(now_s, interface, frame)
        is_cut = len(frames) > 1 and all(each.frame[12:14] == b"\x08\x00" for each in frames)
        return frames if is_cut else frames[::-1]


OTHERS = {
    "errors live for 255 hops": error_fields(time_to_live=255),
    "errors are numbered otherwise": error_fields(identification=0xABCD),
    "replies live for 128 hops": reply_fields(time_to_live=128),
    "replies may not be cut": error_fields(flags=2),
    "questions come last": lambda i, r: Backwards(library_router(i, r)),
    "errors quote little": little_quoted,
}


@pytest.mark.parametrize("name", OTHERS)
def test_a_router_may_do_otherwise_what_is_left_open(name):
    board = conformance_board(OTHERS[name])
    assert board.core.names(Outcome.FAILED) == ()
    assert board.core.names(Outcome.NOT_REACHED) == ()
    assert PLAIN in board.names(Outcome.PASSED)
