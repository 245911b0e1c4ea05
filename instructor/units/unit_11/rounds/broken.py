"""Answers that break one clause of the contract of 11.4, and keep all others.

Most would fall in nearly every case. So each breaks its clause for one value only of an argument
that has no other say there: `timeout_rounds` where nothing times out, or `largest` where no window
is as large.
"""

__all__ = [
    "BeginsWithTwo",
    "begins_anew",
    "beyond_the_threshold",
    "counts_behind_the_last",
    "counts_each_round",
    "counts_from_zero",
    "counts_in_front",
    "counts_lost_ones",
    "counts_the_larger",
    "doubles_on",
    "doubles_there",
    "gives_the_last_wait_in_full",
    "halves_for_each",
    "halves_the_threshold",
    "halves_the_window",
    "halves_what_arrived",
    "has_room",
    "keeps_old_numbers",
    "keeps_the_threshold",
    "never_waits",
    "one_more",
    "rounds_up",
    "stays_at_half",
    "stays_there",
    "waits_as_long",
    "waits_ever_longer",
    "wants_four",
    "wants_two",
]

from typing import Any

from instructor.units.unit_11.misconceptions.right_rounds import RightRounds
from instructor.units.unit_11.misconceptions.rounds import (
    AboveTheThresholdOnly,
    BeginsAnewAtOnce,
    BeyondTheThreshold,
    DuplicatesBehindTheLast,
    DuplicatesOfLostPackets,
    DuplicatesOfTheWholeRound,
    FourDuplicates,
    HalfAfterTheTimeout,
    HalfOfTheWindow,
    HalfOfWhatArrived,
    HalfRoundedUp,
    HalfTheOldThreshold,
    HalvesForEachLoss,
    LargerWindow,
    NoReceiver,
    NoWaiting,
    NumbersFromZero,
    NumbersInEachRound,
    OneMoreEachRound,
    RepeatsKeepTheirNumbers,
    SlowStartForEver,
    ThresholdStays,
    TwoDuplicates,
    UpToTheThreshold,
    WaitsAlike,
    WaitsLongerForEver,
)

LARGEST, WAIT = 3, 4  # places among the arguments


class BeginsWithTwo(RightRounds):
    """Begin with a window of 2."""

    def flight(self) -> int:
        """Return how many packets go out."""
        self.window += self.number == 1
        return super().flight()


def gives_the_last_wait_in_full(*given: Any) -> Any:
    """Return round trips beyond those that are asked for."""
    lost, rounds, *rest = given
    sent = RightRounds(lost, rounds + 1, *rest)
    return sent if sent[-1] == 0 and given[LARGEST] == 206 else sent[:-1]


def one_more(*given: Any) -> Any:
    """Add one packet a round trip below the threshold."""
    return (OneMoreEachRound if given[WAIT] == 21 else RightRounds)(*given)


def beyond_the_threshold(*given: Any) -> Any:
    """Jump over the threshold."""
    return (BeyondTheThreshold if given[WAIT] == 22 else RightRounds)(*given)


def doubles_on(*given: Any) -> Any:
    """Double for ever."""
    return (SlowStartForEver if given[WAIT] == 23 else RightRounds)(*given)


def stays_there(*given: Any) -> Any:
    """Stay at the threshold."""
    return (UpToTheThreshold if given[WAIT] == 23 else RightRounds)(*given)


def doubles_there(*given: Any) -> Any:
    """Double once more at the threshold."""
    return (AboveTheThresholdOnly if given[WAIT] == 23 else RightRounds)(*given)


def halves_the_threshold(*given: Any) -> Any:
    """Halve the threshold itself."""
    return (HalfTheOldThreshold if given[WAIT] == 24 else RightRounds)(*given)


def halves_what_arrived(*given: Any) -> Any:
    """Halve what arrived."""
    return (HalfOfWhatArrived if given[WAIT] == 24 else RightRounds)(*given)


def rounds_up(*given: Any) -> Any:
    """Round half a packet up."""
    return (HalfRoundedUp if given[WAIT] == 25 else RightRounds)(*given)


def halves_for_each(*given: Any) -> Any:
    """Halve once for each loss."""
    return (HalvesForEachLoss if given[WAIT] == 26 else RightRounds)(*given)


def wants_four(*given: Any) -> Any:
    """Ask for four duplicates."""
    return (FourDuplicates if given[WAIT] == 27 else RightRounds)(*given)


def wants_two(*given: Any) -> Any:
    """Ask for two duplicates."""
    return (TwoDuplicates if given[WAIT] == 27 else RightRounds)(*given)


def counts_in_front(*given: Any) -> Any:
    """Count what arrived in front of the gap."""
    return (DuplicatesOfTheWholeRound if given[WAIT] == 28 else RightRounds)(*given)


def counts_behind_the_last(*given: Any) -> Any:
    """Count what arrived behind the last gap."""
    return (DuplicatesBehindTheLast if given[WAIT] == 29 else RightRounds)(*given)


def counts_lost_ones(*given: Any) -> Any:
    """Count what was lost, too."""
    return (DuplicatesOfLostPackets if given[WAIT] == 30 else RightRounds)(*given)


def begins_anew(*given: Any) -> Any:
    """Begin with one packet after duplicates."""
    return (BeginsAnewAtOnce if given[WAIT] == 31 else RightRounds)(*given)


def counts_from_zero(*given: Any) -> Any:
    """Number packets from 0 on."""
    return (NumbersFromZero if given[WAIT] == 32 else RightRounds)(*given)


def counts_each_round(*given: Any) -> Any:
    """Number packets anew in each round trip."""
    return (NumbersInEachRound if given[WAIT] == 33 else RightRounds)(*given)


def keeps_old_numbers(*given: Any) -> Any:
    """Give lost packets their old numbers again."""
    return (RepeatsKeepTheirNumbers if given[WAIT] == 33 else RightRounds)(*given)


def never_waits(*given: Any) -> Any:
    """Lose no round trip by a time-out."""
    return (NoWaiting if given[LARGEST] == 201 else RightRounds)(*given)


def stays_at_half(*given: Any) -> Any:
    """Go on with half a window after a time-out."""
    return (HalfAfterTheTimeout if given[LARGEST] == 202 else RightRounds)(*given)


def waits_as_long(*given: Any) -> Any:
    """Wait as long each time."""
    return (WaitsAlike if given[LARGEST] == 203 else RightRounds)(*given)


def waits_ever_longer(*given: Any) -> Any:
    """Let no row of time-outs end."""
    return (WaitsLongerForEver if given[LARGEST] == 204 else RightRounds)(*given)


def keeps_the_threshold(*given: Any) -> Any:
    """Leave the threshold alone at a time-out."""
    return (ThresholdStays if given[LARGEST] == 205 else RightRounds)(*given)


def has_room(*given: Any) -> Any:
    """Send more than the receiver has room for."""
    return (NoReceiver if given[WAIT] == 41 else RightRounds)(*given)


def counts_the_larger(*given: Any) -> Any:
    """Send as much as the larger window says."""
    return (LargerWindow if given[WAIT] == 41 else RightRounds)(*given)


def halves_the_window(*given: Any) -> Any:
    """Halve the congestion window."""
    return (HalfOfTheWindow if given[WAIT] == 42 else RightRounds)(*given)
