"""Misconceptions about stages that fail: exercise 6.3."""

__all__ = ["FAULTY"]

from collections.abc import Callable
from typing import Any

Ends = tuple[list[Any], dict[Any, int]]
End = tuple[bool, Any]  # sent or not; the packet, or under what its drop is counted
FAILED = "stage failed"
NOT_COUNTED = None


def right_call(stage: Callable[..., Any], packet: Any) -> Any:
    """Return what a stage returns; where it raises, the reason for that."""
    try:
        return stage(packet)
    except Exception:
        return FAILED


def right_kind(result: Any) -> Any:
    """Return a packet or a reason, whatever a stage has returned."""
    return result if isinstance(result, dict | str) else FAILED


def right_result(stage: Callable[..., Any], packet: Any) -> Any:
    """Return a packet or a reason, whatever the stage does."""
    return right_kind(right_call(stage, packet))


def right_end(packet: Any, stages: list[Any], result_of: Callable[..., Any] = right_result) -> End:
    """Return a packet, or a stage and a reason."""
    for name, stage in stages:
        packet = result_of(stage, packet)
        if isinstance(packet, str):
            return False, (name, packet)
    return True, packet


def right_ends(ends: list[End]) -> Ends:
    """Count."""
    dropped = [what for is_sent, what in ends if not is_sent and what is not NOT_COUNTED]
    sent = [what for is_sent, what in ends if is_sent]
    return sent, {one: dropped.count(one) for one in dropped}


def right_carry(
    packets: list[Any], stages: list[Any], result_of: Callable[..., Any] = right_result
) -> Ends:
    """Carry all packets; `result_of` says what a stage makes of one."""
    return right_ends([right_end(packet, stages, result_of) for packet in packets])


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
