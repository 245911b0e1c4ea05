"""Wrong answers to the exercises of unit 08 that no listed belief explains."""

__all__ = ["UNLISTED"]

LINE = """
def waits_in_line(came_ms, takes_ms, room):
    waits, ends = [], []
    for i in range(len(came_ms)):
        came, takes = came_ms[i], takes_ms[i]
        there = [end for end in ends if end > came]
        if len(there) >= room:
            waits.append(None)
            continue
        begins = max([came] + there)
        waits.append(begins - came)
        ends.append(begins + takes)
    return waits
"""

MEANS = """
def three_means(came_ms, left_ms, from_ms, to_ms):
    stays = [(c, l) for c, l in zip(came_ms, left_ms) if l is not None]
    length = to_ms - from_ms
    area = 0
    for c, l in stays:
        area += max(0, min(l, to_ms) - max(c, from_ms))
    times = [l - c for c, l in stays if from_ms <= c < to_ms]
    time = sum(times) / len(times) if times else None
    return area / length, len(times) / length, time
"""

METER = """
class Meter:
    def __init__(self, peak_kbit_s, peak_octets, committed_kbit_s, committed_octets):
        self.fast, self.slow = peak_kbit_s // 8, committed_kbit_s // 8
        self.high, self.low = peak_octets, committed_octets
        self.p, self.c, self.at = peak_octets, committed_octets, 0
        self.used = 0

    def fill(self, now):
        self.p = min(self.high, self.p + self.fast * (now - self.at))
        self.c = min(self.low, self.c + self.slow * (now - self.at))
        self.at = now

    def colour(self, now, octets):
        self.fill(now)
        if self.p < octets:
            return "red"
        self.p -= octets
        if self.c < octets:
            return "yellow"
        self.c -= octets
        return "green"

    def tokens(self, now):
        self.fill(now)
        return self.p, self.c

new_meter = Meter
"""

ROUND = """
class Scheduler:
    def __init__(self, quanta):
        self.quanta = quanta
        self.queues = [[] for _ in quanta]
        self.credit = [0] * len(quanta)
        self.line = []
        self.earned = False
        self.sent = 0

    def join(self, queue, octets):
        if not self.queues[queue]:
            self.line.append(queue)
        self.queues[queue].append(octets)

    def send(self):
        while self.line:
            head = self.line[0]
            if not self.earned:
                self.credit[head] += self.quanta[head]
                self.earned = True
            if self.queues[head][0] > self.credit[head]:
                self.line.append(self.line.pop(0))
                self.earned = False
                continue
            octets = self.queues[head].pop(0)
            self.credit[head] -= octets
            if not self.queues[head]:
                self.line.pop(0)
                self.credit[head] = 0
                self.earned = False
            return head, octets
        return None

new_round_robin = Scheduler
"""


URGENT = """
class Urgent:
    def __init__(self, levels, limit):
        self.limit = limit
        self.names = [[] for _ in range(levels)]
        self.counts = [0] * levels

    def join(self, level, name):
        self.names[level].append(name)

    def send(self):
        there = [n for n in range(len(self.names)) if self.names[n]]
        if not there:
            return None
        due = [n for n in there if self.counts[n] >= self.limit]
        one = (due or there)[0]
        for n in there:
            if n > one:
                self.counts[n] += 1
        self.counts[one] = 0
        return self.names[one].pop(0)

new_urgent_first = Urgent
"""

COMPARE = """
def compare_with_theory(waits_ms, warm_up, batches, t, theory_ms):
    rest = waits_ms[warm_up:]
    length = len(rest) // batches
    means = []
    for n in range(batches):
        row = rest[n * length:(n + 1) * length]
        means.append(sum(row) / length)
    mean = sum(means) / batches
    squares = sum((m - mean) ** 2 for m in means)
    reach = t * (squares / (batches - 1) / batches) ** 0.5
    return mean, reach, abs(theory_ms - mean) <= reach
"""


def changed(source: str, *changes: tuple[str, str]) -> str:
    """Return a source with each first text put in place of by the second."""
    for old, new in changes:
        assert old in source, old
        source = source.replace(old, new)
    return source


UNLISTED: dict[str, dict[str, str]] = {
    "8.1": {
        "room counts all that ever came": changed(LINE, ("len(there) >=", "len(ends) >=")),
        "a wait of 0 is None": changed(LINE, ("begins - came)", "begins - came or None)")),
        "one millisecond between two packets": changed(
            LINE, ("begins + takes", "begins + takes + 1")
        ),
        "the last one there is forgotten": changed(
            LINE, ("[came] + there)", "[came] + there[:-1])")
        ),
        "long packets are dropped early": changed(
            LINE, (">= room:", ">= room or takes > 12 and there:")
        ),
        "waits are never longer than the sending": changed(
            LINE, ("waits.append(begins - came)", "waits.append(min(begins - came, takes))")
        ),
        "room for one is room for none": changed(LINE, (">= room:", ">= room or room == 1:")),
        "the wait of the one before": changed(LINE, ("return waits", "return [0, *waits[:-1]]")),
    },
    "8.2": {
        "one millisecond too many": changed(MEANS, ("to_ms - from_ms\n", "to_ms - from_ms + 1\n")),
        "the last packet is left out": changed(MEANS, ("in stays:", "in stays[:-1]:")),
        "short stays are left out": changed(
            MEANS, ("if from_ms <=", "if l - c > 4 and from_ms <=")
        ),
        "means over two": changed(MEANS, ("/ len(times) if", "/ max(2, len(times)) if")),
        "the root of the mean square": changed(
            MEANS, ("sum(times) / len(times)", "(sum(t * t for t in times) / len(times)) ** 0.5")
        ),
        "the number in whole packets": changed(MEANS, ("area / length", "area // length")),
        "nobody is inside twice as much": changed(MEANS, ("area += max", "area += 2 * max")),
        "the rate of two lines": changed(
            MEANS, (" len(times) / length", " 2 * len(times) / length")
        ),
    },
    "8.3": {
        "half full at the start": changed(
            METER,
            ("= peak_octets, committed_octets, 0", "= peak_octets // 2, committed_octets // 2, 0"),
        ),
        "a header of 18 octets on top": changed(
            METER,
            (
                "        self.fill(now)\n        if",
                "        octets += 18\n        self.fill(now)\n        if",
            ),
        ),
        "yellow takes half": changed(
            METER,
            (
                '            return "yellow"',
                '            self.p += octets // 2\n            return "yellow"',
            ),
        ),
        "a green packet costs an octet more": changed(
            METER, ("self.c -= octets", "self.c -= octets + 1")
        ),
        "every third packet is red": changed(
            METER,
            (
                "        if self.p <",
                "        self.used += 1\n        if self.used % 3 == 0:\n"
                '            return "red"\n        if self.p <',
            ),
        ),
        "time in steps of ten": changed(
            METER,
            ("def fill(self, now):\n", "def fill(self, now):\n        now = now // 10 * 10\n"),
        ),
        "large packets are yellow": changed(
            METER, ("if self.c < octets", "if self.c < octets or octets > 1200")
        ),
        "rates exchanged": changed(
            METER,
            (
                "self.fast, self.slow = peak_kbit_s // 8, committed_kbit_s // 8",
                "self.slow, self.fast = peak_kbit_s // 8, committed_kbit_s // 8",
            ),
        ),
    },
    "8.4": {
        "half of the credit is kept": changed(
            ROUND,
            (
                "                self.line.append(self",
                "                self.credit[head] //= 2\n                self.line.append(self",
            ),
        ),
        "the smallest packet of a queue goes first": changed(
            ROUND, (".append(octets)", ".append(octets)\n        self.queues[queue].sort()")
        ),
        "an octet is charged on top": changed(ROUND, ("-= octets", "-= octets + 40")),
        "quanta count from the end": changed(
            ROUND, ("self.quanta = quanta", "self.quanta = quanta[::-1]")
        ),
        "the third packet is free": changed(
            ROUND,
            (
                "self.credit[head] -= octets",
                "self.sent += 1\n            self.credit[head] -= octets * (self.sent % 3 > 0)",
            ),
        ),
        "all credits lapse together": changed(
            ROUND, ("self.credit[head] = 0", "self.credit = [0] * len(self.quanta)")
        ),
        "a queue earns when it is passed": changed(
            ROUND,
            (
                "                self.line.append(self",
                "                self.credit[head] += self.quanta[head]\n"
                "                self.line.append(self",
            ),
        ),
        "queue 0 is asked last": changed(
            ROUND,
            (
                "            head = self.line[0]",
                "            self.line.sort(key=lambda one: one == 0)\n"
                "            head = self.line[0]",
            ),
        ),
    },
    "8.5": {
        "who joins begins the count anew": changed(
            URGENT, (".append(name)", ".append(name)\n        self.counts[level] = 0")
        ),
        "a count falls by the limit, not to 0": changed(
            URGENT,
            ("self.counts[one] = 0", "self.counts[one] = max(0, self.counts[one] - self.limit)"),
        ),
        "due levels are looked at in every second send only": changed(
            URGENT,
            ("self.limit = limit\n", "self.limit, self.sends = limit, 0\n"),
            ("        due =", "        self.sends += 1\n        due ="),
            (">= self.limit]", ">= self.limit and self.sends % 2]"),
        ),
        "each send counts for as many as wait": changed(
            URGENT, ("self.counts[n] += 1", "self.counts[n] += len(self.names[n])")
        ),
        "the limit grows with the level": changed(
            URGENT, (">= self.limit", ">= self.limit + n - 1")
        ),
        "the shortest name of a level goes first": changed(
            URGENT, (".append(name)", ".append(name)\n        self.names[level].sort()")
        ),
    },
    "8.6": {
        "the warm-up is one longer": changed(
            COMPARE, ("waits_ms[warm_up:]", "waits_ms[warm_up + 1:]")
        ),
        "the mean is that of the middle batch": changed(
            COMPARE, ("mean = sum(means) / batches", "mean = sorted(means)[batches // 2]")
        ),
        "half of t": changed(COMPARE, ("t * (squares", "t / 2 * (squares")),
        "the last batch is left out": changed(
            COMPARE, ("mean = sum(means) / batches", "mean = sum(means[:-1]) / (batches - 1)")
        ),
        "theory may be a quarter off": changed(
            COMPARE, ("abs(theory_ms - mean) <= reach", "abs(theory_ms - mean) <= mean / 4")
        ),
        "distances instead of squares": changed(
            COMPARE, ("(m - mean) ** 2 for", "abs(m - mean) for")
        ),
    },
}
