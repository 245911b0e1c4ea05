"""The switch of workbook 09: what is watched follows the rules, what is measured follows theory."""

import itertools

import numpy as np
import pytest

from course_lib.ferry.one_switch import (
    BY_LOT,
    IN_TURN,
    ONE_LINE,
    PORTS,
    SWITCHES,
    expected_share,
    measure_saturation,
    watch_slots,
)
from course_lib.switching.matching import NONE

every_switch = pytest.mark.parametrize("switch", SWITCHES)


@every_switch
def test_a_slot_follows_from_the_one_before(switch):
    watched = watch_slots(switch, 30, seed=1)
    for slot, after in itertools.pairwise(watched):
        assert len({output for output in slot.matched if output != NONE}) == slot.crossed
        for i, (line, output) in enumerate(zip(slot.lines, slot.matched, strict=True)):
            if output == NONE:
                assert after.lines[i] == line
                continue
            assert i in slot.requested[output]
            gone = slot.first(i, output)
            assert after.lines[i][:-1] == tuple(cell for cell in line if cell != gone)
            assert switch == ONE_LINE or after.lines[i][-1].output == output


@every_switch
def test_only_the_first_of_a_single_line_requests(switch):
    for slot in watch_slots(switch, 10, seed=2):
        for i, line in enumerate(slot.lines):
            wanted = {cell.output for cell in (line[:1] if switch == ONE_LINE else line)}
            assert wanted == {j for j in range(PORTS) if i in slot.requested[j]}


def test_grants_and_pointers_are_those_of_the_rule():
    """McKeown 1999, section III: pointers move only past what was accepted."""
    watched = watch_slots(IN_TURN, 12, seed=0)
    assert [slot.crossed for slot in watched] == [1, 2, 3, *[4] * 9]
    for slot, after in itertools.pairwise(watched):
        pairs = {j: i for i, j in enumerate(slot.matched) if j != NONE}
        assert all(slot.granted[j] == i for j, i in pairs.items())
        for j in range(PORTS):
            moved = (pairs[j] + 1) % PORTS if j in pairs else slot.output_pointers[j]
            assert after.output_pointers[j] == moved


@pytest.mark.parametrize(("switch", "least", "most"), [
    (ONE_LINE, 0.640, 0.670),  # Karol et al. 1987, table I: 0.6553 for 4 ports
    (BY_LOT, 0.670, 0.697),  # Anderson et al. 1993: 1 - (1 - 1/4)**4
    (IN_TURN, 0.960, 1.000),  # McKeown 1999, abstract: 100 % for uniform traffic
])  # fmt: skip
def test_what_is_measured_is_near_theory(switch, least, most):
    band = measure_saturation(switch, 4, 10_000, seed=3)
    assert least < band.mean <= most
    assert least < expected_share(switch, 4) <= most


def test_the_small_switch_carries_what_theory_says_of_full_lines():
    shares = [np.mean([slot.crossed for slot in watch_slots(one, 2000, 5)]) / PORTS
              for one in SWITCHES]  # fmt: skip
    assert shares == pytest.approx([expected_share(one, PORTS) for one in SWITCHES], abs=0.02)
