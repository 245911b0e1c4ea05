"""Say in words what the right half of the figure of damage shows: shares, sieve and tray."""

__all__ = ["right_in_words", "right_table"]

from collections.abc import Mapping, Sequence

from course_lib.figures.checksum.damage_record import DamageRecord
from course_lib.figures.checksum.error_sieve import ErrorSieve
from course_lib.figures.checksum.share_axes import AXIS_WORDS, percent
from course_lib.figures.headers.header_words import table


def right_in_words(
    records: Sequence[DamageRecord], guesses: Mapping[str, float], sieve: ErrorSieve
) -> str:
    """Return what is read out of the shares and of the sieve."""
    told = [_row_in_words(one, guesses.get(one.counts.kind)) for one in records]
    return (
        "Right: the share of errors that was missed, with its 95 % interval and what theory "
        f"expects, on an axis with {AXIS_WORDS}. "
        f"{' '.join(told)} Below, a sieve. {_sieve_in_words(sieve)} "
        f"{_begun(sieve.tray_in_words)}."
    )


def right_table(
    records: Sequence[DamageRecord], guesses: Mapping[str, float], sieve: ErrorSieve
) -> list[str]:
    """Return the same as lines of text."""
    head = ("damage", "headers", "noticed", "missed", "unchanged", "missed share",
            "95 % interval", "expected", "your guess")  # fmt: skip
    rows = [_row(one, guesses.get(one.counts.kind)) for one in records]
    return [*table([head, *rows]), f"Axis: {AXIS_WORDS}.", f"Sieve: {_sieve_in_words(sieve)}",
            f"{_begun(sieve.tray_in_words)}."]  # fmt: skip


def _sieve_in_words(sieve: ErrorSieve) -> str:
    rain = _begun(sieve.rain_in_words)
    return f"{rain}: {sieve.fates_in_words}." if sieve.fates_in_words else rain


def _begun(words: str) -> str:
    """Return words as they begin a sentence."""
    return words[:1].upper() + words[1:]


def _row(record: DamageRecord, guess: float | None) -> tuple[str, ...]:
    counts = record.counts
    mine = "-" if guess is None else f"{100 * guess:.10g} %"
    if not counts.trials:
        return (counts.kind, "0", *"------", mine)
    numbers = (f"{number:,}" for number in
               (counts.trials, counts.noticed, counts.missed, counts.unchanged))  # fmt: skip
    low, high = (percent(share) for share in record.interval)
    shares = (percent(counts.missed_share), f"{low} to {high}") if counts.errors else ("-", "-")
    return (counts.kind, *numbers, *shares, percent(counts.expected_share), mine)


def _row_in_words(record: DamageRecord, guess: float | None) -> str:
    counts = record.counts
    name = _begun(counts.kind)
    mine = "" if guess is None else f", your guess {100 * guess:.10g} %"
    if not counts.trials:
        return f"{name}: not damaged yet{mine}."
    told = f"{name}: {counts.missed:,} of {counts.errors:,} missed"
    if counts.errors:
        low, high = (percent(share) for share in record.interval)
        told += f", {percent(counts.missed_share)}, interval {low} to {high}"
    return f"{told}, expected {percent(counts.expected_share)}{mine}."
