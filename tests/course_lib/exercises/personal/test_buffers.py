"""Numbers of one's own for 10.4: another line for each of 1,000 ids, and the same work for all.

Roots and quotients are worked out in 50 decimal digits here, apart from the library's floats.
"""

import functools
from decimal import ROUND_CEILING, Context, Decimal, localcontext

import pytest

from course_lib.exercises.personal.own_cases import own_cases
from course_lib.exercises.registry import exercise
from instructor.release.personal_codes import code_of
from instructor.units.items import item

IDS = [f"student-{number}" for number in range(1000)]
PACKET_BITS = 12_000


@functools.cache
def cases_of_all():
    """Return the own cases of everybody."""
    return [own_cases("10.4", code_of("a seed", name)) for name in IDS]


def exact_need(rate, delay_ms, flows, in_step):
    """Return the packets that the rule asks for, not rounded."""
    pipe = Decimal(rate) * delay_ms / (1000 * PACKET_BITS)
    return pipe if in_step else pipe / Decimal(flows).sqrt()


def work(case):
    """Return all that makes one of the lines hard or not, and nothing that is drawn."""
    rate, delay_ms, flows, in_step = case.arguments
    pipe = Decimal(rate) * delay_ms / (1000 * PACKET_BITS)
    part = exact_need(*case.arguments) % 1
    is_square = Decimal(flows).sqrt() % 1 == 0
    rounding = "even" if not part else "down" if part < Decimal("0.5") else "up"
    return (case.aspect, in_step, pipe % 1 == 0, 100 <= pipe < 1000, is_square, flows == 1,
            rounding, rate % 10 == 0)  # fmt: skip


@pytest.fixture(autouse=True)
def many_digits():
    with localcontext(Context(prec=50)):
        yield


@pytest.mark.parametrize("place", range(3))
def test_lines_are_the_same_work_for_everybody(place):
    assert len({work(cases[place]) for cases in cases_of_all()}) == 1


def test_what_is_right_follows_from_the_rule_in_exact_numbers():
    for case in (case for cases in cases_of_all() for case in cases):
        need = exact_need(*case.arguments)
        assert case.expected.value == int(need.to_integral_value(rounding=ROUND_CEILING))


def test_no_result_hangs_on_the_last_digits_of_a_float():
    """So the contract has it: parts are far from whole, or each order comes out even.

    The orders are those in which floats may multiply and divide.
    """
    for case in (case for cases in cases_of_all() for case in cases):
        rate, delay_ms, *_ = case.arguments
        part = exact_need(*case.arguments) % 1
        if part:
            assert Decimal("0.04") < part < Decimal("0.96")
            continue
        for seconds in (delay_ms / 1000, delay_ms * 1e-3):
            ways = (
                rate * seconds / 8 / 1500, rate / 8 * seconds / 1500, rate / 1500 * seconds / 8,
                rate / 8 / 1500 * seconds, rate * seconds / 12_000, rate / 12_000 * seconds,
                rate * delay_ms / 12e6, rate / 1000 * delay_ms / 12_000, rate / 1e6 * delay_ms / 12,
            )  # fmt: skip
            assert {*ways} == {case.expected.value}, case.arguments


def test_every_call_keeps_the_contract_and_every_aspect_has_one():
    for cases in cases_of_all():
        assert {case.aspect for case in cases} == {one.name for one in exercise("10.4").aspects}
        for rate, delay_ms, flows, in_step in (case.arguments for case in cases):
            assert min(rate, delay_ms, flows) >= 1
            assert type(in_step) is bool


def test_what_is_right_is_what_the_model_answer_gives():
    answer = item("10.4").answer
    assert all(
        answer(*case.arguments) == case.expected.value for cases in cases_of_all() for case in cases
    )


def test_another_id_has_other_numbers():
    assert len({repr([case.arguments for case in cases]) for cases in cases_of_all()}) == len(IDS)
    for place, least in ((0, 990), (1, 600), (2, 900)):
        assert len({repr(cases[place].arguments) for cases in cases_of_all()}) >= least
