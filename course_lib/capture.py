"""Captured frames in pcap files: written here and read elsewhere, or the other way round.

A pcap file is a file header and then, frame after frame, a time, two lengths and the octets (the
Internet-Draft draft-ietf-opsawg-pcap, "File Header" and "Packet Record"). Scapy does the reading
and the writing. This module adds a fixed unit of time, a type for a frame, and an error in place
of silence: a file that ends in the middle of a frame is refused, not read as a shorter one.

The field for the type of the link may say too that each frame ends with its frame check sequence.
The frames of this course have none, so it is taken off: it is neither octets nor left out.

Only Ethernet frames and the classic format are handled; the newer pcapng is refused by name.
"""

__all__ = ["CaptureError", "CapturedFrame", "read", "write"]

import os
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO, NamedTuple

if TYPE_CHECKING:
    from scapy.utils import RawPcapReader

_ETHERNET = 1  # LINKTYPE_ETHERNET
# The field "LinkType and additional information", from the left: 4 bits for the length of the frame
# check sequence in units of 2 octets, 1 reserved, 1 that says whether that length is there, 10
# reserved, 16 for the type.
_TYPE, _RESERVED, _CHECK_IS_THERE, _CHECK_SHIFT = 0xFFFF, 0x0BFF_0000, 1 << 26, 28
_LARGEST_FRAME = 200_000  # octets; the largest IPv4 datagram on Ethernet needs 65,549
_TIME_LIMIT_S = 1 << 32  # seconds have 32 bits: the format ends in the year 2106
_NS_PER_S = 1_000_000_000
_FILE_HEADER_OCTETS = 24
_FRAME_HEADER_OCTETS = 16
_PCAPNG = bytes.fromhex("0a0d0d0a")
_PCAP = (  # in either order of octets, with times in microseconds or in nanoseconds
    bytes.fromhex("a1b2c3d4"),
    bytes.fromhex("d4c3b2a1"),
    bytes.fromhex("a1b23c4d"),
    bytes.fromhex("4d3cb2a1"),
)


class CaptureError(ValueError):
    """A file that cannot be read as a capture, or a frame that cannot be written into one."""


class CapturedFrame(NamedTuple):
    """A frame and when it passed by, in nanoseconds since the beginning of 1970 (or of a run).

    `octets_left_out` counts what the frame had at its end on the wire and the capture does not
    hold, because it was told to keep only the beginning of each frame.
    """

    time_ns: int
    octets: bytes
    octets_left_out: int = 0


def write(path: str | os.PathLike[str], frames: Iterable[CapturedFrame]) -> None:
    """Write `frames` into a pcap file with times in nanoseconds; an old file is replaced.

    Raises `CaptureError`, before anything is written, for a frame that the format cannot hold.
    """
    checked = [_checked(number, frame) for number, frame in enumerate(frames, start=1)]
    from scapy.utils import RawPcapWriter  # late: it takes longer to load than all of course_lib

    with Path(path).open("wb") as file:
        writer = RawPcapWriter(
            file, linktype=_ETHERNET, endianness="<", nano=True, snaplen=_LARGEST_FRAME
        )
        writer.write_header(None)
        for time_ns, octets, left_out in checked:
            seconds, nanoseconds = divmod(time_ns, _NS_PER_S)
            on_wire = len(octets) + left_out
            writer.write_packet(octets, sec=seconds, usec=nanoseconds, wirelen=on_wire)


def read(path: str | os.PathLike[str]) -> list[CapturedFrame]:
    """Return the frames of a pcap file in the order in which they stand there.

    Raises `CaptureError` if the file is not a pcap file, is cut off, or holds no Ethernet frames,
    and `OSError` if it cannot be opened.
    """
    from scapy.utils import RawPcapReader

    with Path(path).open("rb") as file:
        size = os.fstat(file.fileno()).st_size
        _check_file_header(path, file, size)
        reader = RawPcapReader(file)  # type: ignore[arg-type]  # its metaclass takes open files
        link_type = reader.linktype & _TYPE
        if link_type != _ETHERNET:
            raise CaptureError(
                f"{path}: the frames have link type {link_type}, must be {_ETHERNET} "
                "(Ethernet): capture on an Ethernet interface"
            )
        if reader.linktype & _RESERVED:
            raise CaptureError(
                f"{path}: the link type is {reader.linktype:#010x}, with reserved bits set: "
                "the file is damaged"
            )
        return list(_frames(path, reader, size))


def _checked(number: int, frame: CapturedFrame) -> CapturedFrame:
    if not 0 <= frame.time_ns < _TIME_LIMIT_S * _NS_PER_S:
        raise CaptureError(
            f"frame {number}: time_ns must be 0 to below {_TIME_LIMIT_S * _NS_PER_S} "
            f"(2^32 seconds), not {frame.time_ns}"
        )
    if frame.octets_left_out < 0 or len(frame.octets) + frame.octets_left_out > _LARGEST_FRAME:
        raise CaptureError(
            f"frame {number}: octets and octets_left_out must be 0 to {_LARGEST_FRAME} together, "
            f"not {len(frame.octets)} and {frame.octets_left_out}"
        )
    return frame


def _check_file_header(path: str | os.PathLike[str], file: BinaryIO, size: int) -> None:
    """Look at the first octets, and go back, so that Scapy gets only what it can read."""
    first = file.read(4)
    file.seek(0)
    if first == _PCAPNG:
        raise CaptureError(f"{path}: this is a pcapng file; save the capture as pcap")
    if len(first) == 4 and first not in _PCAP:
        raise CaptureError(
            f"{path}: not a pcap file, as it begins with the octets {first.hex(' ')}"
        )
    if size < _FILE_HEADER_OCTETS:
        raise CaptureError(
            f"{path}: the file ends after {size} octets, "
            f"inside the file header of {_FILE_HEADER_OCTETS}"
        )


def _frames(
    path: str | os.PathLike[str], reader: "RawPcapReader", size: int
) -> Iterator[CapturedFrame]:
    unit_ns = 1 if reader.nano else 1000
    check_octets = _check_octets(reader.linktype)
    number, end = 0, _FILE_HEADER_OCTETS
    while end < size:
        number += 1
        try:
            octets, about = reader._read_packet(size=_LARGEST_FRAME)
        except EOFError:
            raise CaptureError(f"{path}: cut off inside the header of frame {number}") from None
        if len(octets) < about.caplen:
            raise CaptureError(
                f"{path}: frame {number} should have {about.caplen} octets, {len(octets)} can be "
                f"read: the file is cut off or damaged, or the frame exceeds {_LARGEST_FRAME}"
            )
        if about.wirelen < max(about.caplen, check_octets) or about.usec * unit_ns >= _NS_PER_S:
            raise CaptureError(f"{path}: the header of frame {number} is damaged")
        time_ns = about.sec * _NS_PER_S + about.usec * unit_ns
        on_wire = about.wirelen - check_octets
        octets = octets[:on_wire]
        yield CapturedFrame(time_ns, octets, on_wire - len(octets))
        end += _FRAME_HEADER_OCTETS + about.caplen


def _check_octets(link_type: int) -> int:
    """Return how many octets of check sequence stand behind each frame; none if that is unknown."""
    return 2 * (link_type >> _CHECK_SHIFT) if link_type & _CHECK_IS_THERE else 0
