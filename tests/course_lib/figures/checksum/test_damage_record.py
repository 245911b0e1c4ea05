"""The record of damage adds up what `inject` counts, and keeps headers to look at."""

import pytest

from course_lib.checksum import is_intact
from course_lib.experiments.intervals import wilson_interval
from course_lib.figures.checksum.damage_record import DROPS, TRAY, DamageRecord, fate_of
from course_lib.headers.error_injection import KINDS, damaged, inject
from course_lib.headers.ipv4 import IPv4Header

HEADER = IPv4Header(0, 84, 7, 2, 0, 64, 1, 0, 0xC000020A, 0xC6336407).with_checksum().build()
EQUAL_WORDS = bytes.fromhex("0001 0001 fffd")
BATCHES = (100, 900, 5_000)


def recorded(header, kind, batches=BATCHES):
    record = DamageRecord.empty(header, kind)
    for place, trials in enumerate(batches):
        record = record.after(trials, begins=place == 0)
    return record


@pytest.mark.parametrize("kind", KINDS)
def test_batches_are_counted_as_inject_counts_them(kind):
    counts = recorded(HEADER, kind).counts
    runs = [inject(HEADER, kind, trials, seed) for seed, trials in enumerate(BATCHES, 1)]
    for name in ("trials", "noticed", "missed", "unchanged"):
        assert getattr(counts, name) == sum(getattr(run, name) for run in runs)
    assert counts.expected_share == runs[0].expected_share
    examples = [run.missed_example for run in runs if run.missed_example]
    assert counts.missed_example == (examples[0] if examples else None)


@pytest.mark.parametrize("kind", KINDS)
def test_the_drops_are_the_first_headers_of_the_rain(kind):
    record = recorded(HEADER, kind)
    first = damaged(HEADER, kind, BATCHES[0], seed=1)[:DROPS]
    assert list(record.drops) == [row.tobytes() for row in first]
    assert (record.rain, record.rained) == (1, sum(BATCHES))
    again = record.after(7, begins=True)
    assert (again.rain, again.rained, len(again.drops)) == (len(BATCHES) + 1, 7, 7)


@pytest.mark.parametrize("header", [HEADER, EQUAL_WORDS], ids=["all differ", "two alike"])
@pytest.mark.parametrize("kind", KINDS)
def test_in_the_tray_are_missed_errors_and_nothing_else(header, kind):
    record = recorded(header, kind)
    assert len(record.tray) == min(TRAY, record.counts.missed)
    assert all(is_intact(one) and one != header for one in record.tray)
    assert record.tray[:1] == ((record.counts.missed_example,) if record.tray else ())


def test_the_tray_keeps_what_earlier_rains_have_left():
    record = recorded(HEADER, "two flipped bits", (100,))
    kept = record.tray
    assert 0 < len(kept) < TRAY
    assert record.after(1_000, begins=True).tray[: len(kept)] == kept


@pytest.mark.parametrize(
    ("after", "fate"),
    [(HEADER, "unchanged"), (b"\0" + HEADER[1:], "noticed"),
     (HEADER[2:4] + HEADER[:2] + HEADER[4:], "missed")],
)  # fmt: skip
def test_a_header_is_noticed_missed_or_unchanged(after, fate):
    assert fate_of(HEADER, after) == fate


def test_the_interval_narrows_and_is_everything_before_there_is_an_error():
    record = DamageRecord.empty(EQUAL_WORDS, "one flipped bit")
    assert record.interval == (0.0, 1.0)
    one, more = record.after(10, begins=True), record.after(1_000, begins=True)
    assert one.interval == wilson_interval(0, 10)
    assert more.interval[1] < one.interval[1]


def test_what_can_not_be_damaged_is_refused():
    with pytest.raises(ValueError, match="must pass the check before it is damaged"):
        DamageRecord.empty(b"\0" + HEADER[1:], KINDS[0])
    with pytest.raises(ValueError, match="no kind of error"):
        DamageRecord.empty(HEADER, "rust")
