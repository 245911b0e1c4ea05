"""Misconceptions about carrying packets through stages: exercise 6.3."""

__all__ = ["CARRY"]

from collections.abc import Callable
from typing import Any

Ends = tuple[list[Any], dict[tuple[str, str], int]]


def right_result(stage: Callable[..., Any], packet: Any) -> Any:
    """Return a packet or a reason, whatever the stage does."""
    try:
        result = stage(packet)
    except Exception:
        return "stage failed"
    return result if isinstance(result, dict | str) else "stage failed"


def right_end(packet: Any, stages: list[Any]) -> Any:
    """Return a packet, or a stage and a reason."""
    for name, stage in stages:
        packet = right_result(stage, packet)
        if isinstance(packet, str):
            return name, packet
    return packet


def right_ends(ends: list[Any]) -> Ends:
    """Count."""
    dropped = [end for end in ends if isinstance(end, tuple)]
    sent = [end for end in ends if not isinstance(end, tuple)]
    return sent, {end: dropped.count(end) for end in dropped}


def carry_the_first_packet(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that every stage gets the packet as it came in."""
    ends = []
    for packet in packets:
        end = packet
        for name, stage in stages:
            end = right_result(stage, packet)
            if isinstance(end, str):
                end = (name, end)
                break
        ends.append(end)
    return right_ends(ends)


def carry_and_send_the_old_one(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that what came in is what goes out."""
    ends = [right_end(packet, stages) for packet in packets]
    pairs = zip(packets, ends, strict=True)
    return right_ends([end if isinstance(end, tuple) else packet for packet, end in pairs])


def carry_on_after_a_drop(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a drop is noted, and the packet goes on."""
    ends: list[Any] = []
    for packet in packets:
        for name, stage in stages:
            result = right_result(stage, packet)
            if isinstance(result, str):
                ends.append((name, result))
            else:
                packet = result
        ends.append(packet)
    return right_ends(ends)


def carry_until_a_drop(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a drop ends everything, not only the way of this packet."""
    ends: list[Any] = []
    for packet in packets:
        ends.append(right_end(packet, stages))
        if isinstance(ends[-1], tuple):
            break
    return right_ends(ends)


def carry_counting_once(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that it is enough to note that there was a drop."""
    sent, dropped = right_ends([right_end(packet, stages) for packet in packets])
    return sent, dict.fromkeys(dropped, 1)


def carry_blaming_the_last(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a packet ends at the end of the list."""
    ends = [right_end(packet, stages) for packet in packets]
    return right_ends([(stages[-1][0], end[1]) if isinstance(end, tuple) else end for end in ends])


def carry_trusting_all(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a stage always returns a packet or a reason."""
    ends = []
    for packet in packets:
        end = packet
        for name, stage in stages:
            end = stage(end)
            if isinstance(end, str):
                end = (name, end)
                break
        ends.append(end)
    return right_ends(ends)


def carry_without_care(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that stages never fail."""
    ends = []
    for packet in packets:
        end = packet
        for name, stage in stages:
            end = stage(end)
            if not isinstance(end, dict):
                end = (name, end if isinstance(end, str) else "stage failed")
                break
        ends.append(end)
    return right_ends(ends)


def carry_past_nothing(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a stage that returns None has nothing against the packet."""
    ends = []
    for packet in packets:
        end = packet
        for name, stage in stages:
            try:
                result = stage(end)
            except Exception:
                result = "stage failed"
            if result is None:
                continue
            end = result
            if not isinstance(result, dict):
                end = (name, result if isinstance(result, str) else "stage failed")
                break
        ends.append(end)
    return right_ends(ends)


def carry_past_faults(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a stage that fails is passed over, and the packet goes on."""
    ends = []
    for packet in packets:
        end = packet
        for name, stage in stages:
            result = right_result(stage, end)
            if result == "stage failed":
                continue
            end = result
            if isinstance(result, str):
                end = (name, result)
                break
        ends.append(end)
    return right_ends(ends)


def carry_anything(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that whatever is not a reason is a packet."""
    ends = []
    for packet in packets:
        end = packet
        for name, stage in stages:
            try:
                end = stage(end)
            except Exception:
                end = "stage failed"
            if isinstance(end, str):
                end = (name, end)
                break
        ends.append(end)
    return right_ends(ends)


CARRY: dict[str, Callable[..., Any]] = {
    "every-stage-trusted": carry_trusting_all,
    "exceptions-let-out": carry_without_care,
    "same-packet-for-all": carry_the_first_packet,
    "goes-on-after-a-drop": carry_on_after_a_drop,
    "nothing-means-go-on": carry_past_nothing,
    "drop-ends-the-run": carry_until_a_drop,
    "sent-as-it-came": carry_and_send_the_old_one,
    "anything-is-a-packet": carry_anything,
    "faulty-stage-passed-over": carry_past_faults,
    "counts-once": carry_counting_once,
    "blames-the-last-stage": carry_blaming_the_last,
}
