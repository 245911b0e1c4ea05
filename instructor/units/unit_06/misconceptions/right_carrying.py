"""The right answer to exercise 6.3 in parts, each of which a misconception bends."""

__all__ = [
    "FAILED",
    "NOT_COUNTED",
    "End",
    "Ends",
    "right_call",
    "right_carry",
    "right_end",
    "right_ends",
    "right_kind",
    "right_result",
]

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
