"""Injected errors are counted rightly, and as often missed as theory says."""

import itertools
import math
import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from course_lib.checksum import checksum, is_intact
from course_lib.experiments.intervals import wilson_interval
from course_lib.headers.error_injection import KINDS, damaged, inject
from course_lib.headers.ipv4 import IPv4Header

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
WITH_ZERO_WORDS = bytes.fromhex("0000 ffff 0000 1234 edcb 0000")
SMALL = [bytes.fromhex("0000 ffff"), bytes.fromhex("0001 fffe"), bytes.fromhex("1234 edcb")]
SIGMAS = 4.5  # a normal variable strays that far once in 150,000 times


def intact(words):
    """Return words with the one added that makes them pass the check."""
    octets = b"".join(word.to_bytes(2, "big") for word in words)
    return octets + checksum(octets).to_bytes(2, "big")


HEADERS = st.lists(st.integers(0, 0xFFFF), min_size=1, max_size=9).filter(any).map(intact)


def flipped(header, *bits):
    number = int.from_bytes(header)
    for bit in bits:
        number ^= 1 << bit
    return number.to_bytes(len(header), "big")


def share_of_all(header, damages):
    """Try every damage, with the plain check, and return the share that passes."""
    outcomes = [is_intact(damaged) for damaged in damages(header)]
    return sum(outcomes) / len(outcomes)


def all_pairs(header):
    return (flipped(header, *pair) for pair in itertools.combinations(range(len(header) * 8), 2))


def all_bursts(header):
    number, length = int.from_bytes(header), len(header)
    for place in range(length * 8 - 15):
        for inner in range(1 << 14):
            yield (number ^ (inner << 1 | 0x8001) << place).to_bytes(length, "big")


def expected(header, kind):
    return inject(header, kind, 1, 0).expected_share


@given(HEADERS)
def test_no_single_flipped_bit_is_ever_missed(header):
    """IEN 45: any single error is detected."""
    bits = range(len(header) * 8)
    assert not any(is_intact(flipped(header, bit)) for bit in bits)
    assert expected(header, "one flipped bit") == 0


@settings(max_examples=25, deadline=None)
@given(HEADERS)
def test_the_expected_share_of_pairs_is_that_of_all_pairs(header):
    assert expected(header, "two flipped bits") == pytest.approx(share_of_all(header, all_pairs))


@pytest.mark.parametrize(
    "header", [HEADER, WITH_ZERO_WORDS, *SMALL], ids=lambda header: header.hex()
)
def test_the_expected_share_of_pairs_holds_for_these_headers_too(header):
    assert expected(header, "two flipped bits") == pytest.approx(share_of_all(header, all_pairs))


@pytest.mark.parametrize("header", SMALL, ids=lambda header: header.hex())
def test_the_expected_share_of_bursts_is_that_of_all_bursts(header):
    """0000 ffff is the corner: if ffff flips too, all is zero, and zero does not pass."""
    assert expected(header, "a burst of 16 bits") == share_of_all(header, all_bursts)


def test_a_burst_is_missed_only_where_a_row_of_16_zeros_or_ones_flips_whole():
    """IEN 45: of bursts of 16 bits, only one pattern goes undetected, and no shorter burst."""
    assert expected(bytes.fromhex("1234 edcb"), "a burst of 16 bits") == 0
    places = len(WITH_ZERO_WORDS) * 8 - 15
    rows = 1 + 1 + 4 + 1  # the third begins a run of 19 zeros, in which a row has 4 places
    assert expected(WITH_ZERO_WORDS, "a burst of 16 bits") == pytest.approx(rows / places / 2**14)


def test_pairs_of_random_words_are_missed_about_once_in_32():
    """IEN 45 prints the limit 1/32; k words give (k - 1) / (2 (16 k - 1)), 0.02830 for 10."""
    rng = np.random.default_rng(3)
    headers = [intact(map(int, rng.integers(1, 0x10000, 9))) for _ in range(300)]
    mean = sum(expected(header, "two flipped bits") for header in headers) / len(headers)
    assert mean == pytest.approx(9 / (2 * 159), abs=0.0005)
    assert mean < 1 / 32


def test_random_words_pass_once_in_65535_times():
    """Every pair of 16-bit words, counted by remainders; one's complement has two zeros."""
    remainders = np.bincount(np.arange(0x10000) % 0xFFFF)
    pass_check = int((remainders * remainders[-np.arange(0xFFFF) % 0xFFFF]).sum()) - 1
    others = 0x1_0000_0000 - 1  # all pairs but the header itself, which is no error
    assert expected(SMALL[1], "random words") == pytest.approx((pass_check - 1) / others)
    assert expected(HEADER, "random words") == pytest.approx(1 / 65_535, rel=1e-9)


@settings(deadline=None)
@given(HEADERS, st.data())
def test_words_that_trade_places_are_always_missed(header, data):
    """RFC 1071, section 2: the sum is commutative."""
    words = [header[at : at + 2] for at in range(0, len(header), 2)]
    assert is_intact(b"".join(data.draw(st.permutations(words))))
    counts = inject(header, "two words swapped", 50, seed=1)
    assert (counts.noticed, counts.expected_share) == (0, 1.0)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("header", [HEADER, WITH_ZERO_WORDS, intact([0x0101] * 3)], ids=len)
def test_counts_agree_with_theory_over_several_seeds(kind, header):
    runs = [inject(header, kind, 50_000, seed) for seed in range(8)]
    errors, missed = (sum(getattr(run, name) for run in runs) for name in ("errors", "missed"))
    share = runs[0].expected_share
    assert abs(missed - share * errors) <= SIGMAS * math.sqrt(errors * share * (1 - share)) + 1e-6


def test_the_interval_covers_the_expected_share_about_19_times_in_20():
    runs = [inject(HEADER, "two flipped bits", 2_000, seed) for seed in range(400)]
    intervals = [(wilson_interval(run.missed, run.errors), run.expected_share) for run in runs]
    covered = sum(low <= share <= high for (low, high), share in intervals)
    assert covered == pytest.approx(380, abs=SIGMAS * math.sqrt(400 * 0.95 * 0.05))


@settings(max_examples=60, deadline=None)
@given(HEADERS, st.sampled_from(KINDS), st.integers(1, 500), st.integers(0, 2**32))
def test_every_header_is_noticed_missed_or_unchanged(header, kind, trials, seed):
    counts = inject(header, kind, trials, seed)
    assert counts.noticed + counts.missed + counts.unchanged == counts.trials == trials
    assert counts.errors == counts.noticed + counts.missed
    assert (counts.missed_example is None) is (counts.missed == 0)


def test_equal_words_that_trade_places_are_unchanged_and_not_missed():
    """Of the three pairs of words, one is equal: a third of the swaps changes nothing."""
    counts = inject(bytes.fromhex("0001 0001 fffd"), "two words swapped", 90_000, seed=5)
    assert counts.unchanged == pytest.approx(30_000, abs=SIGMAS * math.sqrt(90_000 * 2 / 9))
    assert counts.missed == 90_000 - counts.unchanged
    assert counts.missed_share == 1.0


def test_without_any_error_the_missed_share_is_zero():
    counts = inject(bytes.fromhex("ffff ffff"), "two words swapped", 10, seed=1)
    assert (counts.unchanged, counts.errors, counts.missed_share) == (10, 0, 0.0)


@pytest.mark.parametrize("kind", ["two flipped bits", "two words swapped"])
def test_the_example_is_an_error_that_passes_the_check(kind):
    example = inject(HEADER, kind, 1_000, seed=2).missed_example
    assert example != HEADER
    assert is_intact(example)


def flips(kind, trials):
    """Return which bits of HEADER each trial flips, as an array of zeros and ones."""
    rows = damaged(HEADER, kind, trials, seed=4)
    return np.unpackbits(rows ^ np.frombuffer(HEADER, np.uint8), axis=1)


@pytest.mark.parametrize(("kind", "bits"), [("one flipped bit", 1), ("two flipped bits", 2)])
def test_as_many_bits_flip_as_the_kind_says_and_all_equally_often(kind, bits):
    flipped_bits, mean = flips(kind, 80_000), 80_000 * bits / 160
    assert (flipped_bits.sum(axis=1) == bits).all()
    assert np.abs(flipped_bits.sum(axis=0) - mean).max() < SIGMAS * math.sqrt(mean)


def test_a_burst_begins_and_ends_with_a_flip_16_bits_apart_and_flips_half_of_the_others():
    flipped_bits = flips("a burst of 16 bits", 20_000)
    first, last = flipped_bits.argmax(axis=1), 159 - flipped_bits[:, ::-1].argmax(axis=1)
    assert (last - first == 15).all()
    assert set(first) == set(range(145))
    assert flipped_bits.sum() / 20_000 == pytest.approx(2 + 14 / 2, abs=0.06)


def test_random_words_flip_every_bit_half_of_the_time():
    share = flips("random words", 20_000).mean(axis=0)
    assert np.abs(share - 0.5).max() < SIGMAS * math.sqrt(0.25 / 20_000)


def test_the_seed_decides_and_the_header_stays_as_it_was():
    header = bytearray(HEADER)
    first, again, other = (inject(header, "two flipped bits", 5_000, seed) for seed in (1, 1, 2))
    assert first == again
    assert first.missed_example != other.missed_example
    assert header == HEADER


@pytest.mark.parametrize(
    ("header", "kind", "trials", "message"),
    [
        (HEADER, "gremlins", 10, "no kind of error called 'gremlins'; there are one flipped bit"),
        (HEADER, "random words", 0, "trials must be 1 or more, not 0"),
        (HEADER[:19], "random words", 10, "even number of octets, 4 or more, not 19"),
        (b"\xff\xff", "random words", 10, "even number of octets, 4 or more, not 2"),
        (bytes(20), "random words", 10, "must pass the check before it is damaged"),
    ],
)
def test_what_makes_no_sense_is_refused(header, kind, trials, message):
    with pytest.raises(ValueError, match=message):
        inject(header, kind, trials, seed=1)


def test_text_in_the_place_of_a_header_is_refused():
    with pytest.raises(TypeError, match="header must be bytes, not str"):
        inject("4500", "random words", 1, seed=1)


def test_numpy_is_loaded_only_when_errors_are_injected():
    program = (
        "import sys, course_lib.headers.error_injection\n"
        "import course_lib.figures.headers.header_diagram\n"
        "print([name for name in ('numpy', 'ipywidgets', 'IPython') if name in sys.modules])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert done.stdout.strip() == "[]"
