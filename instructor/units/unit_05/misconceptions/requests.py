"""Misconceptions about ARP packets: exercise 5.1."""

__all__ = ["ANSWER_REQUEST"]

from collections.abc import Callable
from typing import Any

Parts = dict[str, bytes]
KINDS = b"\x08\x06\x00\x01\x08\x00\x06\x04"  # with the Ethernet type in front
NOBODY = bytes(6)


def parts_of(frame: bytes) -> Parts:
    """Take a frame apart."""
    places = {"to": 6, "by": 12, "kinds": 20, "operation": 22, "sender_hardware": 28, "sender": 32,
              "target_hardware": 38, "target": 42, "padding": len(frame)}  # fmt: skip
    ends = [0, *places.values()]
    return {name: frame[ends[number] : end] for number, (name, end) in enumerate(places.items())}


def own(address: str) -> bytes:
    """Return the octets of an address."""
    return bytes(map(int, address.split(".")))


def checked(frame: bytes) -> Parts:
    """Refuse what has to be refused."""
    parts = parts_of(frame)
    if len(frame) < 42 or parts["kinds"] != KINDS:
        raise ValueError(len(frame))
    return parts


def for_us(parts: Parts, address: str) -> bool:
    """Tell whether the packet asks us."""
    return parts["operation"] == b"\0\1" and parts["target"] == own(address)


def turned(parts: Parts, mine: tuple[bytes, str], **changes: bytes) -> bytes:
    """Put the answer together, right but for what is given."""
    answer = {
        "to": parts["sender_hardware"],
        "by": mine[0],
        "kinds": parts["kinds"],
        "operation": b"\0\2",
        "sender_hardware": mine[0],
        "sender": own(mine[1]),
        "target_hardware": parts["sender_hardware"],
        "target": parts["sender"],
    }
    return b"".join((answer | changes).values())


def right_but_for(frame: bytes, mine: tuple[bytes, str], **changes: bytes) -> bytes | None:
    """Answer where an answer is due, with other values in some parts."""
    parts = checked(frame)
    return turned(parts, mine, **changes) if for_us(parts, mine[1]) else None


def answer_to_all(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that what came as a broadcast is answered by one."""
    return right_but_for(frame, (hardware_address, address), to=b"\xff" * 6)


def answer_to_the_frames_source(
    frame: bytes, hardware_address: bytes, address: str
) -> bytes | None:
    """Believe that the frame's source is always who asked."""
    return right_but_for(frame, (hardware_address, address), to=frame[6:12])


def answer_from_where_it_went(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the two hardware addresses of the frame change places."""
    return right_but_for(frame, (hardware_address, address), to=frame[6:12], by=frame[:6])


def answer_from_the_group(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that a frame comes from the address to which the question went."""
    return right_but_for(frame, (hardware_address, address), by=frame[:6])


def answer_as_a_question(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the operation stays."""
    return right_but_for(frame, (hardware_address, address), operation=b"\0\1")


def answer_little_endian(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the low octet of a number comes first."""
    return right_but_for(frame, (hardware_address, address), operation=b"\2\0")


def answer_in_place(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the empty field is filled in, and all else stays."""
    return right_but_for(
        frame, (hardware_address, address),
        sender_hardware=frame[22:28], sender=frame[28:32],
        target_hardware=hardware_address, target=own(address),
    )  # fmt: skip


def answer_to_nobody(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the target's hardware address stays empty in an answer."""
    return right_but_for(frame, (hardware_address, address), target_hardware=NOBODY)


def answer_with_ips_exchanged_only(
    frame: bytes, hardware_address: bytes, address: str
) -> bytes | None:
    """Believe that the IP addresses stay in their places."""
    return right_but_for(
        frame, (hardware_address, address), sender=frame[28:32], target=own(address)
    )


def answer_by_kind(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the hardware addresses stand together, and the IP addresses behind them."""
    answer = right_but_for(frame, (hardware_address, address))
    return answer and answer[:28] + answer[32:38] + answer[28:32] + answer[38:]


def answer_padded(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that whoever builds a frame pads it to 60 octets."""
    answer = right_but_for(frame, (hardware_address, address))
    return answer and answer.ljust(60, b"\0")


def answer_as_long(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that padding belongs to the packet."""
    answer = right_but_for(frame, (hardware_address, address))
    return answer and answer + frame[42:]


def answer_without_frame(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the packet alone is asked for."""
    answer = right_but_for(frame, (hardware_address, address))
    return answer and answer[14:]


def answer_for_everybody(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that every question is to be answered."""
    parts = checked(frame)
    if parts["operation"] != b"\0\1":
        return None
    return turned(parts, (hardware_address, address))


def answer_for_the_target(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that one answers for others, with their address."""
    parts = checked(frame)
    if parts["operation"] != b"\0\1":
        return None
    return turned(parts, (hardware_address, address), sender=parts["target"])


def answer_answers(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the target's address tells all."""
    parts = checked(frame)
    if parts["target"] != own(address):
        return None
    return turned(parts, (hardware_address, address))


def answer_by_the_sender(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the first IP address in the packet is the one that is asked for."""
    parts = checked(frame)
    if parts["operation"] != b"\0\1" or parts["sender"] != own(address):
        return None
    return turned(parts, (hardware_address, address))


def answer_or_refuse(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that a question for somebody else is an error."""
    answer = right_but_for(frame, (hardware_address, address))
    if answer is None:
        raise ValueError("not for us")
    return answer


def answer_or_nothing(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that no octets are as good as None."""
    return right_but_for(frame, (hardware_address, address)) or b""


def answer_none_for_bad_ones(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that None is as good as a refusal."""
    parts = parts_of(frame)
    if len(frame) < 42 or parts["kinds"] != KINDS:
        return None
    return right_but_for(frame, (hardware_address, address))


def answer_whatever_the_kinds(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that the Ethernet type says all about the addresses."""
    if len(frame) < 42 or frame[12:14] != KINDS[:2]:
        raise ValueError(len(frame))
    parts = parts_of(frame)
    return turned(parts, (hardware_address, address)) if for_us(parts, address) else None


def answer_whatever_the_type(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that whatever comes in is an ARP packet."""
    if len(frame) < 42 or frame[14:20] != KINDS[2:]:
        raise ValueError(len(frame))
    parts = parts_of(frame)
    return turned(parts, (hardware_address, address)) if for_us(parts, address) else None


def answer_in_any_size(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that nobody sends fewer octets than there should be."""
    parts = parts_of(frame)
    if parts["kinds"] != KINDS:
        raise ValueError(parts["kinds"])
    return turned(parts, (hardware_address, address)) if for_us(parts, address) else None


def answer_without_padding(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that exactly 42 octets have to come."""
    if len(frame) != 42:
        raise ValueError(len(frame))
    return right_but_for(frame, (hardware_address, address))


def answer_checking_late(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that only what is for us need be checked."""
    if len(frame) >= 42 and not for_us(parts_of(frame), address):
        return None
    return right_but_for(frame, (hardware_address, address))


def answer_or_another(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Believe that any exception will do."""
    try:
        return right_but_for(frame, (hardware_address, address))
    except ValueError:
        raise KeyError("no such packet") from None


ANSWER_REQUEST: dict[str, Callable[..., Any]] = {
    "answered-to-everybody": answer_to_all,
    "answered-to-the-frames-source": answer_to_the_frames_source,
    "ethernet-addresses-exchanged": answer_from_where_it_went,
    "from-where-the-question-went": answer_from_the_group,
    "operation-stays": answer_as_a_question,
    "low-octet-first": answer_little_endian,
    "filled-in-and-sent-back": answer_in_place,
    "target-left-empty": answer_to_nobody,
    "ip-addresses-stay": answer_with_ips_exchanged_only,
    "addresses-by-kind": answer_by_kind,
    "padded-to-sixty": answer_padded,
    "padding-kept": answer_as_long,
    "packet-without-frame": answer_without_frame,
    "answers-for-everybody": answer_for_everybody,
    "answers-in-others-names": answer_for_the_target,
    "answers-answers": answer_answers,
    "sender-taken-for-target": answer_by_the_sender,
    "others-questions-refused": answer_or_refuse,
    "nothing-for-none": answer_or_nothing,
    "none-for-a-refusal": answer_none_for_bad_ones,
    "kinds-not-looked-at": answer_whatever_the_kinds,
    "type-not-looked-at": answer_whatever_the_type,
    "length-not-looked-at": answer_in_any_size,
    "padding-refused": answer_without_padding,
    "checked-only-for-us": answer_checking_late,
    "another-exception": answer_or_another,
}
