"""Misconceptions about stages that fail: exercise 6.3."""

__all__ = ["FAULTY"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.right_carrying import (
    FAILED,
    NOT_COUNTED,
    Ends,
    right_call,
    right_carry,
    right_end,
    right_ends,
    right_kind,
    right_result,
)


def carry_trusting_all(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a stage always returns a packet or a reason."""
    return right_carry(packets, stages, lambda stage, packet: stage(packet))


def carry_without_care(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that stages never fail."""
    return right_carry(packets, stages, lambda stage, packet: right_kind(stage(packet)))


def carry_anything(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that whatever is not a reason is a packet."""
    return right_carry(packets, stages, right_call)


def carry_anything_but_none(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a faulty stage returns None, and nothing else."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        result = right_call(stage, packet)
        return FAILED if result is None else result

    return right_carry(packets, stages, result_of)


def carry_past_nothing(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a stage that returns None has nothing against the packet."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        result = right_call(stage, packet)
        return packet if result is None else right_kind(result)

    return right_carry(packets, stages, result_of)


def carry_past_faults(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a stage that fails is passed over, and the packet goes on."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        result = right_result(stage, packet)
        return packet if result == FAILED else result

    return right_carry(packets, stages, result_of)


def carry_telling_the_exception(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that the reason is what the exception says."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        try:
            return right_kind(stage(packet))
        except Exception as raised:
            return str(raised)

    return right_carry(packets, stages, result_of)


def carry_not_counting_faults(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that only what a stage drops on purpose is counted."""
    ends = [right_end(packet, stages) for packet in packets]
    return right_ends([
        (False, NOT_COUNTED) if not end[0] and end[1][1] == FAILED else end for end in ends
    ])  # fmt: skip


FAULTY: dict[str, Callable[..., Any]] = {
    "every-stage-trusted": carry_trusting_all,
    "exceptions-let-out": carry_without_care,
    "nothing-means-go-on": carry_past_nothing,
    "anything-is-a-packet": carry_anything,
    "faulty-stage-passed-over": carry_past_faults,
    "only-none-is-a-fault": carry_anything_but_none,
    "exception-tells-the-reason": carry_telling_the_exception,
    "faults-not-counted": carry_not_counting_faults,
}
