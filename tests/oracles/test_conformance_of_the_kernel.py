"""A check of the board: this machine's kernel, a router that many have looked at, goes through it.

Where it differs the reason stands beside the clause in `DIFFERENT`; everything else it has to keep.
So a clause that asks for more than its standard would fail here.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from course_lib.conformance import SCENARIOS, Outcome, board_of
from course_lib.conformance.scenario import Exchange
from course_lib.conformance.seen import Sent
from networks.kernel_comparison import unavailable

PROGRAM = Path(__file__).parent / "kernel_board.py"
LONGEST_S = 60.0  # what takes longer in real time is not played
PATIENCE_S = 600

DIFFERENT = {
    "to the first address of a link": "Linux takes it for a host's of late; by RFC 1812, section "
    "4.2.3.1, it is an old form of the broadcast",
    "to net 0": "Linux forwards to 0/8, RFC 1812, section 5.3.7: SHOULD NOT",
    "to class E": "Linux uses 240/4 as any other addresses; RFC 1812, section 5.3.7: SHOULD NOT",
    "from net 0": "Linux forwards from 0/8; RFC 1812, section 5.3.7: SHOULD NOT",
    "from class E": "as for packets to class E",
    "from a broadcast address": "Linux would find it by checking sources against its routes, which "
    "is switched off here as RFC 1812, section 5.3.8, has it by default",
    "told to a broadcast address": "follows from that: Linux has taken the source for a host's",
    "group address not believed": "Linux believes it; RFC 1812, section 3.3.2: MUST NOT",
    "address beside the time": "Linux enters the address by which the packet came in; RFC 1812, "
    "section 4.2.2.2: that of the interface by which it leaves",
    "cut datagram is reported": "Linux discards it silently; RFC 1812, section 5.2.2: SHOULD tell",
    "errors are limited": "Linux can, and does by default; here it is switched off, so that one "
    "clause's errors are not missing in the next",
}
NOT_PLAYED = {
    "missing for too long": "it takes a minute of real time; the kernel gives up after 30 s anyway",
}


@pytest.fixture(scope="module")
def board():
    names = [each.name for each in SCENARIOS if each.until_s < LONGEST_S]
    as_root = [] if os.geteuid() == 0 else ["--user", "--map-root-user"]
    command = ["unshare", *as_root, "--net", sys.executable, str(PROGRAM)]
    text = json.dumps(names)
    try:
        done = subprocess.run(
            command, input=text, capture_output=True, text=True, timeout=PATIENCE_S, check=False
        )
    except FileNotFoundError as error:
        unavailable(error)
    if "Traceback" in done.stderr:
        pytest.fail(done.stderr)
    if done.returncode:
        unavailable(" ".join(done.stderr.strip().splitlines()[-1:]))
    sent = {
        name: tuple(Sent(at_s, link, bytes.fromhex(octets)) for at_s, link, octets in frames)
        for name, frames in json.loads(done.stdout).items()
    }

    def play(scenario):
        if scenario.name in NOT_PLAYED:
            return NOT_PLAYED[scenario.name]
        return Exchange(sent[scenario.name])

    return board_of(play)


def told(board, outcome):
    return {name: str(board[name]) for name in board.names(outcome)}


def test_the_kernel_keeps_every_clause_but_those_whose_reason_is_written_down(board):
    failed = told(board, Outcome.FAILED)
    assert {name: text for name, text in failed.items() if name not in DIFFERENT} == {}
    assert set(failed) == set(DIFFERENT)


def test_every_other_clause_was_tried(board):
    assert set(board.names(Outcome.NOT_TRIED)) == set(NOT_PLAYED)
    assert told(board, Outcome.NOT_REACHED) == {}
    assert board.count(Outcome.PASSED) > 130
