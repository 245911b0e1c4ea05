"""The right answers of unit 09 keep what is published of switches.

All of them are tried, those written in other ways as well.
"""

import random

import pytest

from instructor.units.items import item

RIGHT = {
    number: [
        pytest.param(one, id=one.__name__) for one in (item(number).answer, *item(number).others)
    ]
    for number in ("9.1", "9.2", "9.4")
}


@pytest.mark.parametrize(("ports", "share"), [(2, 0.75), (4, 0.6553), (8, 0.6184)])
@pytest.mark.parametrize("cross_once", RIGHT["9.1"])
def test_saturated_inputs_carry_what_karol_hluchyj_and_morgan_print(cross_once, ports, share):
    """IEEE Trans. Communications 35 (1987), table I; the table is cited from memory.

    Who wins an output changes nothing: who comes next is drawn anew for any input. Of 3,000 slots
    the mean is right to 0.012, three times its standard error.
    """
    rng = random.Random(f"saturated {ports}")
    heads = [rng.randrange(ports) for _ in range(ports)]
    slots, crossed = 3_000, 0
    for _ in range(slots):
        crosses, _ = cross_once([[head] for head in heads])
        for number, output in enumerate(crosses):
            if output is not None:
                crossed += 1
                heads[number] = rng.randrange(ports)
    assert crossed / slots / ports == pytest.approx(share, abs=0.012)


@pytest.mark.parametrize("ports", [2, 5, 16])
@pytest.mark.parametrize("new_matcher", RIGHT["9.4"])
def test_first_rounds_grow_by_one_until_all_ports_are_used(new_matcher, ports):
    """N. McKeown, IEEE/ACM Trans. Networking 7 (1999): 100 % for uniform traffic."""
    matcher, full = new_matcher(ports), [[1] * ports for _ in range(ports)]
    sizes = [len(matcher.match(full)[0]) for _ in range(3 * ports)]
    assert sizes == [*range(1, ports), *[ports] * (2 * ports + 1)]


@pytest.mark.parametrize("new_inputs", RIGHT["9.2"])
def test_virtual_output_queues_carry_nine_tenths_of_the_lines_rate(new_inputs):
    """McKeown 1999, abstract: 100 % is possible; one line at each input stops at 0.6553."""
    rng, ports, slots = random.Random("nine tenths"), 4, 1_500
    inputs, matcher = new_inputs(ports), item("9.4").answer(ports)
    came = crossed = 0
    for slot in range(slots):
        for number in range(ports):
            if rng.random() < 0.9:
                inputs.join(number, rng.randrange(ports), f"{slot}.{number}")
                came += 1
        matched = [None] * ports
        for pairs in matcher.match(inputs.waiting()):
            for number, output in pairs:
                matched[number] = output
        crossed += sum(name is not None for name in inputs.cross(matched))
    assert came > 0.85 * ports * slots
    assert crossed / came > 0.98
