"""Wrong answers to the exercises of unit 11 that no listed belief explains."""

__all__ = ["UNLISTED"]

from unlisted_mistakes.unit_11_rates import RATES

LOSS = """
class Loss:
    def __init__(self, every):
        self.every, self.counts = every, {}

    def passes(self, packet):
        start = 4 * (packet[0] & 15)
        total = packet[2] * 256 + packet[3]
        offset = (packet[6] & 31) * 256 + packet[7]
        if packet[9] != 6 or offset:
            return True
        octets = total - start - 4 * (packet[start + 12] >> 4)
        if octets <= 0:
            return True
        key = packet[12:20] + packet[start:start + 4]
        self.counts[key] = self.counts.get(key, 0) + 1
        return self.counts[key] % self.every != 0

new_loss = Loss
"""

RECEIVER = """
class Receiver:
    def __init__(self, wanted):
        self.place, self.runs = wanted, []

    def is_before(self, one, other):
        return 0 < (other - one) % 2**32 < 2**31

    def receive(self, first, octets):
        begin = self.place + (first - self.place + 2**31) % 2**32 - 2**31
        runs = sorted([*self.runs, (begin, begin + octets)])
        while runs and runs[0][0] <= self.place:
            self.place = max(self.place, runs[0][1])
            del runs[0]
        self.runs = runs
        return self.place % 2**32

    def held(self):
        rows = []
        for begin, end in self.runs:
            if rows and begin <= rows[-1][1]:
                rows[-1] = (rows[-1][0], max(rows[-1][1], end))
            else:
                rows.append((begin, end))
        return [(begin % 2**32, end % 2**32) for begin, end in rows]

new_receiver = Receiver
"""

TIMER = """
class Timer:
    def __init__(self, least_ms, tick_ms):
        self.least, self.tick = least_ms, tick_ms
        self.mean, self.variation, self.timeout = None, None, 1000
        self.way, self.at, self.count = {}, None, 0

    def sent(self, now_ms, number):
        self.way.setdefault(number, []).append(now_ms)
        if self.at is None:
            self.at = now_ms + self.timeout

    def acknowledged(self, now_ms, number):
        times = self.way.pop(number)
        if len(times) == 1:
            trip = now_ms - times[0]
            if self.mean is None:
                self.mean, self.variation = trip, trip / 2
            else:
                self.variation = 0.75 * self.variation + 0.25 * abs(self.mean - trip)
                self.mean = 0.875 * self.mean + 0.125 * trip
            timeout = self.mean + max(self.tick, 4 * self.variation)
            self.timeout = min(max(timeout, self.least), 60000)
        self.at = now_ms + self.timeout if self.way else None
        return self.timeout

    def expired(self, now_ms):
        self.timeout = min(2 * self.timeout, 60000)
        self.at = now_ms + self.timeout
        return self.timeout

    def due(self):
        return self.at

new_timer = Timer
"""

ROUNDS = """
def sent_each_round(lost, rounds, threshold, largest, timeout_rounds):
    result, window, number, wait = [], 1, 1, timeout_rounds
    while len(result) < rounds:
        flight = min(window, largest)
        row = list(range(number, number + flight))
        number += flight
        result.append(flight)
        gone = [one for one in row if one in lost]
        if not gone:
            wait = timeout_rounds
            if window < threshold:
                window = min(window + flight, threshold)
            else:
                window += 1
            continue
        threshold = flight // 2
        behind = [one for one in row if one > gone[0] and one not in gone]
        if len(behind) >= 3:
            window = threshold
        else:
            result += [0] * wait
            wait *= 2
            window = 1
    return result[:rounds]
"""

FIT = """
import math

def fit_exponent(sent, lost, windows, largest, student):
    verdicts = []
    for count, window in zip(lost, windows):
        if count < 10:
            verdicts.append("few losses")
        elif window > 0.9 * largest:
            verdicts.append("full line")
        elif window < 4:
            verdicts.append("time-outs")
        else:
            verdicts.append("counts")
    good = [i for i in range(len(sent)) if verdicts[i] == "counts"]
    x = [math.log(lost[i] / sent[i]) for i in good]
    y = [math.log(windows[i]) for i in good]
    n = len(good)
    mx, my = sum(x) / n, sum(y) / n
    width = sum((a - mx) ** 2 for a in x)
    slope = sum((a - mx) * (b - my) for a, b in zip(x, y)) / width
    rest = sum((b - my - slope * (a - mx)) ** 2 for a, b in zip(x, y))
    return verdicts, slope, student[n - 2] * math.sqrt(rest / (n - 2) / width)
"""


def changed(right: str, *changes: tuple[str, str]) -> str:
    """Return an answer with some of its words replaced."""
    for old, new in changes:
        assert old in right, old
        right = right.replace(old, new)
    return right


UNLISTED: dict[str, dict[str, str]] = {
    "11.1": {
        "the third flow is not counted": changed(
            LOSS, ("        if octets", "        if len(self.counts) > 1 or octets")
        ),
        "counts begin anew after three": changed(
            LOSS, ("self.counts.get(key, 0) + 1", "self.counts.get(key, 0) % 3 + 1")
        ),
        "large segments weigh two": changed(LOSS, ("key, 0) + 1", "key, 0) + 1 + (octets > 3)")),
        "every second loss is forgiven": changed(
            LOSS, ("% self.every != 0", "% (2 * self.every) != self.every")
        ),
        "the last octet of an address is not looked at": changed(
            LOSS, ("packet[12:20] +", "packet[12:15] + packet[16:19] +")
        ),
        "what is not counted is None": changed(LOSS, ("return True", "return None")),
    },
    "11.2": {
        "a quarter of the circle is before": changed(RECEIVER, ("< 2**31\n", "< 2**30\n")),
        "one octet too many": changed(RECEIVER, ("begin + octets)", "begin + octets + 1)")),
        "two runs are held at most": changed(
            RECEIVER, ("self.runs = runs\n", "self.runs = runs[:2]\n")
        ),
        "a gap of one octet does not matter": changed(
            RECEIVER, ("runs[0][0] <= self.place", "runs[0][0] <= self.place + 1")
        ),
        "the first run alone is told": changed(
            RECEIVER, ("for begin, end in rows]", "for begin, end in rows[:1]]")
        ),
        "runs near each other are one": changed(
            RECEIVER, ("begin <= rows[-1][1]:", "begin <= rows[-1][1] + 700:")
        ),
        "short segments are not held": changed(
            RECEIVER, ("self.runs = runs\n", "self.runs = [r for r in runs if r[1] - r[0] > 600]\n")
        ),
    },
    "11.3": {
        "five variations": changed(TIMER, ("4 * self.variation", "5 * self.variation")),
        "a third of the first round trip": changed(TIMER, ("trip, trip / 2", "trip, trip / 3")),
        "an eighth for both": changed(
            TIMER, ("0.75 * self.variation + 0.25 *", "0.875 * self.variation + 0.125 *")
        ),
        "three times as long": changed(TIMER, ("min(2 * self.timeout", "min(3 * self.timeout")),
        "the timer starts half as long": changed(
            TIMER,
            (
                "self.at = now_ms + self.timeout\n        return",
                "self.at = now_ms + self.timeout / 2\n        return",
            ),
        ),
        "only every second round trip counts": changed(
            TIMER,
            (
                "        if len(times) == 1:",
                "        self.count += 1\n        if len(times) == 1 and self.count % 2:",
            ),
        ),
        "half a minute at most": changed(TIMER, ("60000", "30000")),
    },
    "11.4": {
        "a third instead of a half": changed(ROUNDS, ("flight // 2", "flight // 3")),
        "growth by two": changed(ROUNDS, ("window += 1", "window += 2")),
        "a time-out takes a round trip more": changed(ROUNDS, ("[0] * wait", "[0] * (wait + 1)")),
        "three times as long": changed(ROUNDS, ("wait *= 2", "wait *= 3")),
        "two packets after a time-out": changed(
            ROUNDS, ("            window = 1\n", "            window = 2\n")
        ),
        "one more after duplicates": changed(
            ROUNDS, ("window = threshold\n", "window = threshold + 1\n")
        ),
        "the receiver has room for one less": changed(
            ROUNDS, ("min(window, largest)", "min(window, largest - 1)")
        ),
        "losses far behind are forgotten": changed(
            ROUNDS, ("if one in lost]", "if one in lost[:1]]")
        ),
    },
    "11.5": RATES,
    "11.6": {
        "the mean of both slopes": changed(
            FIT,
            ("    rest =", "    slope = (slope + 1 / (slope or 1)) / 2\n    rest ="),
        ),
        "decimal loss, natural window": changed(
            FIT, ("math.log(lost[i] / sent[i])", "math.log10(lost[i] / sent[i])")
        ),
        "the root of the loss": changed(
            FIT, ("math.log(lost[i] / sent[i])", "math.log(lost[i] / sent[i]) / 2")
        ),
        "one degree more": changed(FIT, ("student[n - 2]", "student[n - 1]")),
        "small windows are a full line": changed(
            FIT, ('append("time-outs")', 'append("full line")')
        ),
        "five lost are enough": changed(FIT, ("count < 10", "count < 5")),
        "the last run is left out": changed(FIT, ("range(len(sent))", "range(len(sent) - 1)")),
        "half of the width": changed(FIT, ("math.sqrt(rest", "0.5 * math.sqrt(rest")),
    },
}
