"""Captures come back as they were written, other libraries agree, nothing is half read."""

import struct
import zlib

import dpkt
import pytest
from hypothesis import given
from hypothesis import strategies as st

from course_lib.capture import CapturedFrame, CaptureError, read, write

FRAMES = [
    CapturedFrame(0, b""),
    CapturedFrame(1_700_000_000_123_456_789, bytes(range(60))),
    CapturedFrame(1_700_000_000_123_456_790, b"\xff" * 14, octets_left_out=1500),
    CapturedFrame((1 << 32) * 1_000_000_000 - 1, bytes(65_549)),
]
# The file header, then the record of one frame of four octets ("File Header" and "Packet Record"
# of the Internet-Draft draft-ietf-opsawg-pcap), in either order of octets.
HEADER_FIELDS = (2, 4, 0, 0, 65_535, 1)
MICROSECONDS, NANOSECONDS = 0xA1B2C3D4, 0xA1B23C4D


def file_octets(order="<", magic=MICROSECONDS, link_type=1, fraction=250_000, lengths=(4, 4)):
    header = struct.pack(order + "IHHIIII", magic, *HEADER_FIELDS[:5], link_type)
    return header + struct.pack(order + "IIII", 10, fraction, *lengths) + b"ship"


@pytest.fixture
def path(tmp_path):
    return tmp_path / "north-pier.pcap"


def refusal(path):
    with pytest.raises(CaptureError) as caught:
        read(path)
    assert str(path) in str(caught.value)
    return str(caught.value)


def test_frames_come_back_as_they_were_written(path):
    write(path, FRAMES)
    assert read(path) == FRAMES


def test_a_capture_without_frames_is_a_capture(path):
    write(path, [])
    assert read(path) == []


def test_paths_may_be_text_and_frames_may_be_generated(path):
    write(str(path), (frame for frame in FRAMES))
    assert read(str(path)) == FRAMES


def test_an_old_file_is_replaced(path):
    write(path, FRAMES)
    write(path, FRAMES[:1])
    assert read(path) == FRAMES[:1]


@given(
    frames=st.lists(
        st.builds(
            CapturedFrame,
            st.integers(0, (1 << 32) * 1_000_000_000 - 1),
            st.binary(max_size=100),
            st.integers(0, 2000),
        ),
        max_size=5,
    )
)
def test_any_frames_come_back(frames, tmp_path_factory):
    path = tmp_path_factory.mktemp("capture") / "any.pcap"
    write(path, frames)
    assert read(path) == frames


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize(
    ("magic", "time_ns"), [(MICROSECONDS, 10_250_000_000), (NANOSECONDS, 10_000_250_000)]
)
def test_all_four_kinds_of_file_are_read(path, order, magic, time_ns):
    path.write_bytes(file_octets(order, magic))
    assert read(path) == [CapturedFrame(time_ns, b"ship")]


def test_the_octets_of_a_file_are_those_of_the_format(path):
    write(path, [CapturedFrame(10_000_250_000, b"ship", octets_left_out=2)])
    octets = path.read_bytes()
    expected = file_octets(magic=NANOSECONDS, lengths=(4, 6))
    assert octets[:16] + octets[20:] == expected[:16] + expected[20:]  # all but the longest length


def test_another_library_reads_the_same_frames(path):
    """dpkt gives times as exact decimals."""
    write(path, FRAMES)
    with path.open("rb") as file:
        found = [(int(time * 10**9), octets) for time, octets in dpkt.pcap.Reader(file)]
    assert found == [(frame.time_ns, frame.octets) for frame in FRAMES]


def test_another_library_writes_what_we_read(path):
    with path.open("wb") as file:
        writer = dpkt.pcap.Writer(file, nano=True)
        writer.writepkt(b"ship", ts=10)
        writer.writepkt(b"pier", ts=11)
    assert [(f.time_ns, f.octets) for f in read(path)] == [(10**10, b"ship"), (11 * 10**9, b"pier")]


FCS = zlib.crc32(b"ship").to_bytes(4, "little")  # IEEE 802.3; least significant octet first
ETHERNET_AND_CHECK = 2 << 28 | 1 << 26 | 1  # two units of two octets, and they are there


def record(octets, on_wire):
    return struct.pack("<IIII", 10, 250_000, len(octets), on_wire) + octets


@pytest.mark.parametrize("order", ["<", ">"])
@pytest.mark.parametrize(
    ("link_type", "behind"),
    [
        pytest.param(ETHERNET_AND_CHECK, FCS, id="four-octets"),
        pytest.param(1 << 26 | 1, b"", id="none"),
        pytest.param(1 << 28 | 1 << 26 | 1, FCS[:2], id="two-octets"),
        pytest.param(15 << 28 | 1 << 26 | 1, bytes(30), id="as-many-as-there-can-be"),
    ],
)
def test_a_check_sequence_behind_the_frames_is_taken_off(path, order, link_type, behind):
    """draft-ietf-opsawg-pcap, "File Header": the P bit, and FCS len in units of two octets."""
    octets = file_octets(order, link_type=link_type, lengths=[4 + len(behind)] * 2)
    path.write_bytes(octets + behind)
    assert read(path) == [CapturedFrame(10_250_000_000, b"ship")]


def test_a_length_without_the_bit_that_says_it_is_there_means_nothing(path):
    """The same section: "if the P bit is not set ... the FCS length is unknown"."""
    path.write_bytes(file_octets(link_type=2 << 28 | 1))
    assert read(path) == [CapturedFrame(10_250_000_000, b"ship")]


@pytest.mark.parametrize(
    ("kept", "octets", "left_out"),
    [
        pytest.param(8, b"ship", 0, id="all"),
        pytest.param(6, b"ship", 0, id="half-of-the-check-sequence"),
        pytest.param(4, b"ship", 0, id="the-frame-alone"),
        pytest.param(3, b"shi", 1, id="not-even-that"),
        pytest.param(0, b"", 4, id="nothing"),
    ],
)
def test_the_end_of_a_frame_is_counted_without_its_check_sequence(path, kept, octets, left_out):
    header = file_octets(link_type=ETHERNET_AND_CHECK)[:24]
    path.write_bytes(header + record((b"ship" + FCS)[:kept], on_wire=8) * 2)
    assert read(path) == [CapturedFrame(10_250_000_000, octets, left_out)] * 2


@pytest.mark.parametrize("on_wire", [7, 3, 0])
def test_a_frame_shorter_than_its_check_sequence_is_damaged(path, on_wire):
    header = file_octets(link_type=ETHERNET_AND_CHECK)[:24]
    path.write_bytes(header + record(b"ship" + FCS, on_wire))
    assert "header of frame 1 is damaged" in refusal(path)


# --- what cannot be read ------------------------------------------------------------------------


def test_a_file_cut_off_anywhere_is_refused_and_never_read_as_a_shorter_one(path):
    whole = file_octets() + struct.pack("<IIII", 11, 0, 3, 3) + b"pod"
    borders = {24, 44, len(whole)}
    for present in sorted(set(range(len(whole))) - borders):
        path.write_bytes(whole[:present])
        refusal(path)


@pytest.mark.parametrize(
    ("present", "says"),
    [
        (0, "ends after 0 octets, inside the file header"),
        (3, "ends after 3 octets, inside the file header"),
        (23, "ends after 23 octets, inside the file header"),
        (25, "cut off inside the header of frame 1"),
        (39, "cut off inside the header of frame 1"),
        (40, "frame 1 should have 4 octets, 0 can be read"),
        (43, "frame 1 should have 4 octets, 3 can be read"),
    ],
)
def test_the_message_says_where_the_file_ends(path, present, says):
    path.write_bytes(file_octets()[:present])
    assert says in refusal(path)


@pytest.mark.parametrize(
    ("octets", "says"),
    [
        pytest.param(b"Quillwater Ferries, timetable", "begins with the octets 51 75", id="text"),
        pytest.param(bytes.fromhex("0a0d0d0a") + bytes(40), "this is a pcapng file", id="ng"),
        pytest.param(bytes.fromhex("1f8b0800") + bytes(40), "not a pcap file", id="compressed"),
        pytest.param(file_octets(link_type=101), "link type 101, must be 1", id="no Ethernet"),
        pytest.param(
            file_octets(link_type=ETHERNET_AND_CHECK + 100),
            "type 101, must be 1",
            id="nor with FCS",
        ),
        pytest.param(file_octets(link_type=1 << 16 | 1), "link type is 0x00010001", id="reserved"),
        pytest.param(file_octets(link_type=1 << 27 | 1), "link type is 0x08000001", id="bit R"),
        pytest.param(file_octets(lengths=(4, 3)), "header of frame 1 is damaged", id="lengths"),
        pytest.param(file_octets(fraction=10**6), "header of frame 1 is damaged", id="time"),
        pytest.param(file_octets(lengths=(1 << 31, 1 << 31)), "should have 2147483648", id="huge"),
    ],
)
def test_what_is_no_capture_of_ethernet_frames_is_refused(path, octets, says):
    path.write_bytes(octets)
    assert says in refusal(path)


def test_a_file_that_does_not_exist_is_an_os_error(path):
    with pytest.raises(FileNotFoundError):
        read(path)


# --- what cannot be written ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("frame", "says"),
    [
        (
            CapturedFrame(-1, b""),
            r"frame 2: time_ns must be 0 to below 4294967296000000000 .*, not -1",
        ),
        (CapturedFrame((1 << 32) * 1_000_000_000, b""), "frame 2: time_ns must be"),
        (CapturedFrame(0, b"", -1), "frame 2: octets and octets_left_out must be"),
        (CapturedFrame(0, bytes(200_001)), "not 200001 and 0"),
        (CapturedFrame(0, b"ship", 200_000), "not 4 and 200000"),
    ],
)
def test_a_frame_that_does_not_fit_is_refused_before_anything_is_written(path, frame, says):
    write(path, FRAMES[:1])
    with pytest.raises(CaptureError, match=says):
        write(path, [FRAMES[1], frame])
    assert read(path) == FRAMES[:1]
