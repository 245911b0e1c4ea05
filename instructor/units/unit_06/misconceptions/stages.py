"""Misconceptions about carrying packets through stages: exercise 6.3."""

__all__ = ["CARRY"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_06.misconceptions.right_carrying import (
    FAILED,
    End,
    Ends,
    right_carry,
    right_end,
    right_ends,
    right_result,
)

# The way through.


def carry_the_first_packet(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that every stage gets the packet as it came in."""
    ends: list[End] = []
    for packet in packets:
        end: End = (True, packet)
        for one in stages:
            end = right_end(packet, [one])
            if not end[0]:
                break
        ends.append(end)
    return right_ends(ends)


def carry_and_send_the_old_one(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that what came in is what goes out."""
    ends = [right_end(packet, stages) for packet in packets]
    return right_ends([
        (True, packet) if end[0] else end for packet, end in zip(packets, ends, strict=True)
    ])  # fmt: skip


def carry_newest_first(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that the order does not matter."""
    sent, dropped = right_carry(packets, stages)
    return sent[::-1], dropped


def carry_nothing_without_stages(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that only a stage can send."""
    return right_carry(packets, stages) if stages else ([], {})


def carry_no_empty_packets(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that an empty packet is none."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        result = right_result(stage, packet)
        return FAILED if result == {} else result

    return right_carry(packets, stages, result_of)


def carry_one_packet(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that the result can be returned as soon as a packet is through."""
    return right_carry(packets[:1], stages)


def carry_and_list(packets: list[Any], stages: list[Any]) -> list[Any]:
    """Believe that a list is as good as a tuple."""
    return list(right_carry(packets, stages))


# Drops.


def carry_on_after_a_drop(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a drop is noted, and the packet goes on."""
    ends: list[End] = []
    for packet in packets:
        for name, stage in stages:
            result = right_result(stage, packet)
            if isinstance(result, str):
                ends.append((False, (name, result)))
            else:
                packet = result
        ends.append((True, packet))
    return right_ends(ends)


def carry_and_send_what_is_dropped(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a packet that was dropped is sent, too, as far as it got."""
    ends: list[End] = []
    for packet in packets:
        for name, stage in stages:
            result = right_result(stage, packet)
            if isinstance(result, str):
                ends.append((False, (name, result)))
                break
            packet = result
        ends.append((True, packet))
    return right_ends(ends)


def carry_until_a_drop(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a drop ends everything, not only the way of this packet."""
    ends: list[End] = []
    for packet in packets:
        ends.append(right_end(packet, stages))
        if not ends[-1][0]:
            break
    return right_ends(ends)


def carry_until_a_drop_on_purpose(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a reason ends everything; a fault does not."""
    ends: list[End] = []
    for packet in packets:
        ends.append(right_end(packet, stages))
        if not ends[-1][0] and ends[-1][1][1] != FAILED:
            break
    return right_ends(ends)


def carry_counting_once(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that it is enough to note that there was a drop."""
    sent, dropped = right_carry(packets, stages)
    return sent, dict.fromkeys(dropped, 1)


def carry_counting_from_zero(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that the first drop makes an entry, and only later ones are added."""
    sent, dropped = right_carry(packets, stages)
    return sent, {one: number - 1 for one, number in dropped.items()}


def carry_blaming_the_last(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a packet ends at the end of the list."""
    ends = [right_end(packet, stages) for packet in packets]
    return right_ends([end if end[0] else (False, (stages[-1][0], end[1][1])) for end in ends])


def carry_blaming_the_last_on_purpose(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that reasons belong to the end of the list, and faults to their stages."""
    sent, dropped = right_carry(packets, stages)
    blamed: dict[Any, int] = {}
    for (name, reason), number in dropped.items():
        key = name if reason == FAILED else stages[-1][0], reason
        blamed[key] = blamed.get(key, 0) + number
    return sent, blamed


def carry_counting_by(packets: list[Any], stages: list[Any], place: int) -> Ends:
    """Count by the stage (0) or the reason (1) alone."""
    ends = [right_end(packet, stages) for packet in packets]
    return right_ends([end if end[0] else (False, end[1][place]) for end in ends])


def carry_counting_by_stage(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that the name of the stage says enough."""
    return carry_counting_by(packets, stages, 0)


def carry_counting_by_reason(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that the reason says enough."""
    return carry_counting_by(packets, stages, 1)


def carry_without_empty_reasons(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that an empty text is no reason."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        result = right_result(stage, packet)
        return FAILED if result == "" else result

    return right_carry(packets, stages, result_of)


def carry_calling_twice(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that it does no harm to call a stage once to look, and once to go on."""

    def result_of(stage: Callable[..., Any], packet: Any) -> Any:
        looked_at = right_result(stage, packet)
        return looked_at if looked_at == FAILED else right_result(stage, packet)

    return right_carry(packets, stages, result_of)


KEPT: dict[Any, int] = {}


def carry_counting_on(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that counts begin anew with each call, wherever they are kept."""
    sent, dropped = right_carry(packets, stages)
    for one, number in dropped.items():
        KEPT[one] = KEPT.get(one, 0) + number
    return sent, dict(KEPT)


def carry_listing_all(packets: list[Any], stages: list[Any]) -> Ends:
    """Believe that a count of zero is worth an entry."""
    sent, dropped = right_carry(packets, stages)
    return sent, {(name, FAILED): 0 for name, _ in [*stages, ("none", None)]} | dropped


CARRY: dict[str, Callable[..., Any]] = {
    "same-packet-for-all": carry_the_first_packet,
    "goes-on-after-a-drop": carry_on_after_a_drop,
    "drop-ends-the-run": carry_until_a_drop,
    "sent-as-it-came": carry_and_send_the_old_one,
    "counts-once": carry_counting_once,
    "blames-the-last-stage": carry_blaming_the_last,
    "nothing-without-stages": carry_nothing_without_stages,
    "empty-packet-fails": carry_no_empty_packets,
    "returns-after-one-packet": carry_one_packet,
    "list-of-two": carry_and_list,
    "dropped-and-sent": carry_and_send_what_is_dropped,
    "first-drop-counts-zero": carry_counting_from_zero,
    "counts-by-stage": carry_counting_by_stage,
    "counts-by-reason": carry_counting_by_reason,
    "empty-reason-is-none": carry_without_empty_reasons,
    "stages-called-twice": carry_calling_twice,
    "counts-go-on": carry_counting_on,
}
