"""What the kernel knows about a TCP connection of its own: `tcp_info` of linux/tcp.h.

The structure has grown with the years, at its end only; an older kernel gives fewer octets, and
what is missing counts as 0. Names of fields here are ours; those of the kernel stand beside them.
"""

__all__ = ["TCPInfo", "tcp_info"]

import socket
import struct
from typing import NamedTuple

# 8 octets of flags and small numbers; 24 words of 32 bits up to tcpi_total_retrans; 4 of 64 bits
# (rates, octets); 6 of 32 (segments, tcpi_min_rtt); 4 of 64 (rate, times); 2 of 32 (delivered);
# 2 of 64 (octets sent, octets sent again).
_LAYOUT = struct.Struct("=8x24I4Q6I4Q2I2Q")
_UNLIMITED = 0x7FFFFFFF  # a threshold that has not been set yet


class TCPInfo(NamedTuple):
    """A connection at one moment. The window counts segments, as the kernel does."""

    segment_octets: int  # tcpi_snd_mss: the data of a full segment
    in_flight_packets: int  # tcpi_unacked
    lost_packets: int  # tcpi_lost: taken for lost and not repaired yet
    round_trip_s: float  # tcpi_rtt: smoothed, RFC 6298
    threshold_packets: int | None  # tcpi_snd_ssthresh; None before the first loss
    window_packets: int  # tcpi_snd_cwnd
    sent_again: int  # tcpi_total_retrans, since the beginning
    acknowledged_octets: int  # tcpi_bytes_acked, since the beginning
    least_round_trip_s: float  # tcpi_min_rtt


def tcp_info(connection: socket.socket) -> TCPInfo:
    """Return what the kernel knows of a connection at this moment."""
    return read_tcp_info(connection.getsockopt(socket.IPPROTO_TCP, socket.TCP_INFO, _LAYOUT.size))


def read_tcp_info(octets: bytes) -> TCPInfo:
    """Return the fields that we use of the kernel's structure."""
    fields = _LAYOUT.unpack(octets.ljust(_LAYOUT.size, b"\0"))
    threshold = fields[17]
    return TCPInfo(
        segment_octets=fields[2],
        in_flight_packets=fields[4],
        lost_packets=fields[6],
        round_trip_s=fields[15] / 1e6,
        threshold_packets=None if threshold >= _UNLIMITED else threshold,
        window_packets=fields[18],
        sent_again=fields[23],
        acknowledged_octets=fields[26],
        least_round_trip_s=fields[31] / 1e6,
    )
