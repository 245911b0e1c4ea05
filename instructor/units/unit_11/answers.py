"""Model answers for unit 11, loss and TCP: written to be read out in front of a class.

Sources: RFC 791 and RFC 9293, section 3.1 (headers); RFC 9293, section 3.4 (sequence numbers);
RFC 2018 (what is held); RFC 6298 (the timer; P. Karn, C. Partridge, SIGCOMM 1987); RFC 5681,
section 3 (windows); M. Mathis et al., CCR 27 (1997), for what a tooth has to do with a rate.
"""

__all__ = [
    "fit_exponent",
    "new_loss",
    "new_receiver",
    "new_timer",
    "rate_with_losses",
    "sent_each_round",
]

import math
from collections import Counter
from itertools import count

ALL_NUMBERS = 2**32
HALF = 2**31


def new_loss(every: int) -> "Loss":
    """Return a stage that has counted nothing yet."""
    return Loss(every)


class Loss:
    """Counts the segments with data of each flow, and drops every so-many-th."""

    def __init__(self, every: int) -> None:
        self.every = every
        self.counts: Counter[bytes] = Counter()

    def passes(self, packet: bytes) -> bool:
        """Tell whether a packet goes on."""
        flow = flow_of_data(packet)
        if not flow:
            return True
        self.counts[flow] += 1
        return self.counts[flow] % self.every != 0


def flow_of_data(packet: bytes) -> bytes:
    """Return addresses and ports of a segment with data; nothing for all other packets."""
    header = 4 * (packet[0] & 0x0F)
    end = int.from_bytes(packet[2:4], "big")
    offset = int.from_bytes(packet[6:8], "big") & 0x1FFF  # without the flags
    if packet[9] != 6 or offset != 0:
        return b""
    segment = packet[header:end]
    data = segment[4 * (segment[12] >> 4) :]
    return packet[12:20] + segment[:4] if data else b""


def new_receiver(wanted: int) -> "Receiver":
    """Return a receiver that has nothing yet."""
    return Receiver(wanted)


class Receiver:
    """Knows the first octet that is missing, and runs of octets behind it.

    Runs are kept by their distance from the missing octet. Distances do not wrap.
    """

    def __init__(self, wanted: int) -> None:
        self.wanted = wanted
        self.runs: list[tuple[int, int]] = []  # first and end, in order, with gaps between

    def is_before(self, one: int, other: int) -> bool:
        """Tell whether a number stands before another one."""
        return 0 < (other - one) % ALL_NUMBERS < HALF

    def receive(self, first: int, octets: int) -> int:
        """Take a segment in, and return the number of the first octet that is missing."""
        start = (first - self.wanted + HALF) % ALL_NUMBERS - HALF  # below 0 if it lies behind us
        joined: list[tuple[int, int]] = []
        for begin, end in sorted([*self.runs, (start, start + octets)]):
            if joined and begin <= joined[-1][1]:
                joined[-1] = (joined[-1][0], max(joined[-1][1], end))
            else:
                joined.append((begin, end))
        step = max(0, joined.pop(0)[1]) if joined[0][0] <= 0 else 0
        self.runs = [(begin - step, end - step) for begin, end in joined]
        self.wanted = (self.wanted + step) % ALL_NUMBERS
        return self.wanted

    def held(self) -> list[tuple[int, int]]:
        """Return what lies behind gaps."""
        return [
            ((self.wanted + begin) % ALL_NUMBERS, (self.wanted + end) % ALL_NUMBERS)
            for begin, end in self.runs
        ]


def new_timer(least_ms: int, tick_ms: int) -> "Timer":
    """Return a timer that stands still."""
    return Timer(least_ms, tick_ms)


class Timer:
    """The retransmission timer of RFC 6298; the numbers in brackets are those of its rules."""

    mean_ms = variation_ms = 0.0
    timeout_ms = 1000.0  # (2.1)
    due_ms: float | None = None
    has_measured = False

    def __init__(self, least_ms: int, tick_ms: int) -> None:
        self.least_ms, self.tick_ms = least_ms, tick_ms
        self.sent_ms: dict[int, list[float]] = {}  # of what is under way: when it went out

    def sent(self, now_ms: float, number: int) -> None:
        """Note a packet that goes out."""
        self.sent_ms.setdefault(number, []).append(now_ms)
        if self.due_ms is None:
            self.due_ms = now_ms + self.timeout_ms  # (5.1)

    def acknowledged(self, now_ms: float, number: int) -> float:
        """Learn from a packet that has arrived."""
        times = self.sent_ms.pop(number)
        if len(times) == 1:  # else nobody knows which of them arrived: Karn's rule (3)
            self.measure(now_ms - times[0])
        self.due_ms = now_ms + self.timeout_ms if self.sent_ms else None  # (5.3), (5.2)
        return self.timeout_ms

    def measure(self, trip_ms: float) -> None:
        """Learn from a round trip: first the variation, then the mean."""
        if self.has_measured:  # (2.3)
            distance = abs(self.mean_ms - trip_ms)
            self.variation_ms = 0.75 * self.variation_ms + 0.25 * distance
            self.mean_ms = 0.875 * self.mean_ms + 0.125 * trip_ms
        else:  # (2.2)
            self.mean_ms, self.variation_ms = trip_ms, trip_ms / 2
            self.has_measured = True
        timeout = self.mean_ms + max(self.tick_ms, 4 * self.variation_ms)
        self.timeout_ms = min(max(timeout, self.least_ms), 60_000)  # (2.4), (2.5)

    def expired(self, now_ms: float) -> float:
        """Wait twice as long from now on."""
        self.timeout_ms = min(2 * self.timeout_ms, 60_000)  # (5.5)
        self.due_ms = now_ms + self.timeout_ms  # (5.6)
        return self.timeout_ms

    def due(self) -> float | None:
        """Tell when the timer runs out."""
        return self.due_ms


def sent_each_round(
    lost: list[int], rounds: int, threshold: int, largest: int, timeout_rounds: int
) -> list[int]:
    """Return how many packets go out in each of so many round trips."""
    sent: list[int] = []
    window, number, waits = 1, 1, timeout_rounds
    while len(sent) < rounds:
        flight = min(window, largest)
        numbers = range(number, number + flight)
        missing = [one for one in numbers if one in lost]
        number += flight
        sent.append(flight)
        if not missing:
            window = min(window + flight, threshold) if window < threshold else window + 1
            waits = timeout_rounds
            continue
        threshold = flight // 2
        behind = numbers.stop - missing[0] - len(missing)
        if behind >= 3:
            window = threshold
        else:
            sent += [0] * waits
            window, waits = 1, 2 * waits
    return sent[:rounds]


def rate_with_losses(
    every: int, packets_per_ack: int, packet_octets: int, round_trip_ms: int, timeout_ms: int
) -> tuple[int, float, float]:
    """Sum a tooth of whole windows: how high it is, what the law gets from it, and the rate."""
    for highest in count(1):
        if packets_per_ack * sum(tooth(highest + 1)) > every:
            break
    packets = packets_per_ack * sum(tooth(highest))
    round_trips = packets_per_ack * len(tooth(highest))
    takes_ms = round_trips * round_trip_ms
    if highest < 4:  # three duplicates cannot come
        takes_ms += timeout_ms
    constant = packets / round_trips / math.sqrt(packets)
    return highest, constant, packets * packet_octets * 8 / (takes_ms / 1000)


def tooth(highest: int) -> range:
    """Return the windows from half of the highest one up to it."""
    return range(max(1, highest // 2), highest + 1)


def fit_exponent(
    sent: list[int],
    lost: list[int],
    windows: list[float],
    largest: float,
    student: list[float],
) -> tuple[list[str], float, float]:
    """Return a verdict on each run, the exponent, and how far its interval reaches."""
    verdicts = [verdict(lost[run], windows[run], largest) for run in range(len(sent))]
    points = [
        (math.log(lost[run] / sent[run]), math.log(windows[run]))
        for run, words in enumerate(verdicts)
        if words == "counts"
    ]
    mean_x = sum(x for x, _ in points) / len(points)
    mean_y = sum(y for _, y in points) / len(points)
    width = sum((x - mean_x) ** 2 for x, _ in points)
    slope = sum((x - mean_x) * y for x, y in points) / width
    squares = sum((y - mean_y - slope * (x - mean_x)) ** 2 for x, y in points)
    free = len(points) - 2  # a line takes two degrees of freedom: its height and its slope
    return verdicts, slope, student[free] * math.sqrt(squares / free / width)


def verdict(lost: int, window: float, largest: float) -> str:
    """Say why a run does not count, or that it does."""
    if lost < 10:
        return "few losses"  # one more or less would move the point too far
    if window > 0.9 * largest:
        return "full line"  # not loss decides, but the line
    if window < 4:
        return "time-outs"  # three duplicates cannot come
    return "counts"
