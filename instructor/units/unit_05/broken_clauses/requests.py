"""Answers to 5.1 that break one clause of the contract and keep all others."""

__all__: list[str] = []

from instructor.units.unit_05.misconceptions.requests import (
    KINDS,
    checked,
    for_us,
    own,
    parts_of,
    right_but_for,
    turned,
)


def refusing_but_for(
    frame: bytes, mine: tuple[bytes, str], ignored: tuple[int, int]
) -> bytes | None:
    """Overlook some octets of the type and the kinds of addresses."""
    parts = parts_of(frame)
    start, end = ignored
    seen = parts["kinds"][:start] + KINDS[start:end] + parts["kinds"][end:]
    if len(frame) < 42 or seen != KINDS:
        raise ValueError(len(frame))
    return turned(parts, mine, kinds=KINDS) if for_us(parts, mine[1]) else None


def answer_any_ether_type(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Overlook the type of the frame."""
    return refusing_but_for(frame, (hardware_address, address), (0, 2))


def answer_any_hardware_type(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Overlook the hardware type."""
    return refusing_but_for(frame, (hardware_address, address), (2, 4))


def answer_any_protocol_type(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Overlook the protocol type."""
    return refusing_but_for(frame, (hardware_address, address), (4, 6))


def answer_any_hardware_length(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Overlook the length of hardware addresses."""
    return refusing_but_for(frame, (hardware_address, address), (6, 7))


def answer_any_protocol_length(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Overlook the length of IP addresses."""
    return refusing_but_for(frame, (hardware_address, address), (7, 8))


def answer_of_type_ip(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Write the type of IPv4 into the frame."""
    answer = right_but_for(frame, (hardware_address, address))
    return answer and answer[:12] + b"\x08\x00" + answer[14:]


def answer_padded_like_it(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Pad the answer where the question was padded to 60 octets."""
    answer = right_but_for(frame, (hardware_address, address))
    return answer and answer.ljust(60 if len(frame) >= 60 else 42, b"\0")


def answer_with_whole_padding(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Refuse a padding that does not end at 60 octets or later."""
    if 42 < len(frame) < 60:
        raise ValueError(len(frame))
    return right_but_for(frame, (hardware_address, address))


def answer_by_low_octet(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Look at the low octet of the operation alone."""
    parts = checked(frame)
    if parts["operation"][1] != 1 or parts["target"] != own(address):
        return None
    return turned(parts, (hardware_address, address))


def answer_by_last_octet(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Compare the last octet of the address alone."""
    parts = checked(frame)
    if parts["operation"] != b"\0\1" or parts["target"][3] != own(address)[3]:
        return None
    return turned(parts, (hardware_address, address))


def answer_by_network(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Compare the first three octets of the address alone."""
    parts = checked(frame)
    if parts["operation"] != b"\0\1" or parts["target"][:3] != own(address)[:3]:
        return None
    return turned(parts, (hardware_address, address))


def answer_in_28_octets(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Be content with as many octets as the packet has without its frame."""
    if len(frame) < 28:
        raise ValueError(len(frame))
    return right_but_for(frame.ljust(42, b"\0"), (hardware_address, address))


def answer_none_if_short(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Overlook what is too short."""
    if len(frame) < 42:
        return None
    return right_but_for(frame, (hardware_address, address))


def answer_nothing_to_others(frame: bytes, hardware_address: bytes, address: str) -> bytes | None:
    """Give no octets, in place of None, where others answer others."""
    parts = checked(frame)
    if parts["operation"] != b"\0\1" and parts["target"] != own(address):
        return b""
    return right_but_for(frame, (hardware_address, address))
