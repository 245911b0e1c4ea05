"""Wrong answers to the exercises of unit 10 that no listed belief explains."""

__all__ = ["UNLISTED"]

PATH = """
import math

def fill_path(rate, there, back, packet):
    delay = there + back
    octets = -(-rate * delay // 8000)
    packets = -(-octets // packet)
    return octets, packets
"""

TOOTH = """
def one_tooth(pipe, room):
    highest = pipe + room
    lowest = highest // 2
    sent = could = 0
    for w in range(lowest, highest + 1):
        sent += w
        could += max(w, pipe)
    return lowest, highest, sent / could
"""

SENDER = """
class Sender:
    def __init__(self, segment, window, threshold):
        self.segment, self.window, self.threshold = segment, window, threshold
        self.row = 0
        self.once = self.recovery = False
        self.slow = window < threshold

    def ack(self):
        if self.row >= 3:
            self.window = self.threshold
        elif self.window < self.threshold:
            self.window += self.segment
        else:
            self.window += max(1, self.segment * self.segment // self.window)
        self.row = 0
        return self.window, self.threshold

    def duplicate(self, flight):
        self.row += 1
        if self.row == 3:
            self.recovery = True
            self.threshold = max(flight // 2, 2 * self.segment)
            self.window = self.threshold + 3 * self.segment
        elif self.row > 3:
            self.window += self.segment
        return self.window, self.threshold

    def timeout(self, flight):
        self.threshold = max(flight // 2, 2 * self.segment)
        self.window = self.segment
        self.row = 0
        return self.window, self.threshold

new_sender = Sender
"""

BUFFER = """
import math

def smallest_buffer(rate, delay, flows, in_step):
    pipe = rate * delay / 12_000_000
    share = pipe if in_step else pipe / math.sqrt(flows)
    return math.ceil(share)
"""

WAIT = """
def wait_ms(found, rate, percent):
    total = sum(found)
    so_far = 0
    for k in range(len(found)):
        so_far += found[k]
        if 100 * so_far >= percent * total:
            return k * 1500 * 8 * 1000 / rate
"""

WATCH = """
import math

class Watch:
    log = []

    def __init__(self, target, interval):
        self.target, self.interval = target, interval
        self.due = None
        self.count = self.bouts = 0

    def leaves(self, now, waited):
        if waited < self.target:
            self.due = None
            self.count = 0
            return False
        if self.due is None:
            self.due = now + self.interval
        if now < self.due:
            return False
        self.count += 1
        self.due += self.interval / math.sqrt(self.count)
        return True

new_watch = Watch
"""


def changed(source: str, *changes: tuple[str, str]) -> str:
    """Return a source with each first text put in place of by the second."""
    for old, new in changes:
        assert old in source, old
        source = source.replace(old, new)
    return source


UNLISTED: dict[str, dict[str, str]] = {
    "10.1": {
        "a kilo of 1024": changed(PATH, ("8000", "8192")),
        "the packet that is being sent on top": changed(PATH, ("// 8000)", "// 8000) + packet")),
        "packets are not rounded": changed(PATH, ("-(-octets // packet)", "octets / packet")),
        "octets filled up to whole packets": changed(
            PATH, ("return octets,", "return packets * packet,")
        ),
        "packets rounded for each way": changed(
            PATH,
            (
                "-(-octets // packet)",
                "-(-rate * there // 8000 // packet) - (-rate * back // 8000 // packet)",
            ),
        ),
        "packets above 1500 octets are refused": changed(
            PATH, ("    delay =", "    if packet > 1500:\n        raise ValueError\n    delay =")
        ),
        "small parts of an octet are taken for dust": changed(
            PATH, ("-(-rate * delay // 8000)", "math.ceil(rate * (delay / 1000) / 8 - 0.01)")
        ),
        "a list": changed(PATH, ("return octets, packets", "return [octets, packets]")),
    },
    "10.2": {
        "half by Python's round": changed(TOOTH, ("highest // 2", "round(highest / 2)")),
        "neither end counts": changed(TOOTH, ("lowest, highest + 1)", "lowest + 1, highest)")),
        "the buffer goes at a loss": changed(TOOTH, ("highest // 2", "highest - room")),
        "never below the pipe": changed(TOOTH, ("highest // 2", "max(pipe, highest // 2)")),
        "grows by 2": changed(TOOTH, ("highest + 1)", "highest + 1, 2)")),
        "one round trip too many": changed(TOOTH, ("highest + 1)", "highest + 2)")),
        "no buffer is refused": changed(
            TOOTH, ("    highest =", "    if room < 1:\n        raise ValueError\n    highest =")
        ),
        "the share that is idle": changed(TOOTH, ("sent / could", "1 - sent / could")),
    },
    "10.3": {
        "slow start ends at the threshold sharp": changed(
            SENDER,
            (
                "self.window += self.segment\n        else",
                "self.window = min(self.window + self.segment, self.threshold)\n        else",
            ),
        ),
        "slow start or not is settled once": changed(
            SENDER, ("elif self.window < self.threshold", "elif self.slow")
        ),
        "two duplicates are taken back": changed(SENDER, ("row >= 3", "row >= 2")),
        "no floor at the third duplicate": changed(
            SENDER,
            (
                "True\n            self.threshold = max(flight // 2, 2 * self.segment)",
                "True\n            self.threshold = flight // 2",
            ),
        ),
        "half an octet at the third duplicate": changed(
            SENDER,
            (
                "True\n            self.threshold = max(flight // 2",
                "True\n            self.threshold = max(flight / 2",
            ),
        ),
        "recovery outlives a time-out": changed(
            SENDER,
            ("if self.row >= 3:", "if self.recovery:\n            self.recovery = False"),
        ),
        "one loss in a lifetime": changed(
            SENDER,
            (
                "if self.row == 3:",
                "if self.row == 3 and not self.once:\n            self.once = True",
            ),
        ),
        "a time-out in recovery is ignored": changed(
            SENDER,
            (
                "timeout(self, flight):\n",
                "timeout(self, flight):\n        if self.row >= 3:\n"
                "            return self.window, self.threshold\n",
            ),
        ),
    },
    "10.4": {
        "the cube root": changed(BUFFER, ("math.sqrt(flows)", "flows ** (1 / 3)")),
        "the root rounded up": changed(BUFFER, ("math.sqrt(flows)", "math.ceil(math.sqrt(flows))")),
        "few flows count as in step": changed(BUFFER, ("if in_step", "if in_step or flows < 5")),
        "many flows are never in step": changed(
            BUFFER, ("if in_step", "if in_step and flows < 50")
        ),
        "in step is not rounded": changed(
            BUFFER, ("    share =", "    if in_step:\n        return pipe\n    share =")
        ),
        "a mega of 2**20": changed(BUFFER, ("12_000_000", "12_582_912")),
        "a single flow is refused": changed(
            BUFFER, ("    pipe =", "    if flows < 2:\n        raise ValueError\n    pipe =")
        ),
        "one flow is left out": changed(
            BUFFER, ("math.sqrt(flows)", "math.sqrt(max(1, flows - 1))")
        ),
    },
    "10.5": {
        "the packets needed are rounded down": changed(
            WAIT, ("100 * so_far >= percent * total", "so_far >= percent * total // 100")
        ),
        "a packet without its headers": changed(WAIT, ("1500", "1460")),
        "half of the packet that is being sent": changed(WAIT, ("k * 1500", "(k + 0.5) * 1500")),
        "the mean of all up to the percentage": changed(
            WAIT,
            (
                "return k *",
                "return sum(j * found[j] for j in range(k + 1)) / so_far *",
            ),
        ),
        "99 percent are all": changed(
            WAIT, ("    total", "    if percent >= 99:\n        percent = 100\n    total")
        ),
        "nobody waits for nothing": changed(WAIT, ("return k *", "return max(k, 1) *")),
        "counts of 0 are refused": changed(
            WAIT, ("    total", "    if 0 in found:\n        raise ValueError\n    total")
        ),
        "sums of waits": changed(
            WAIT,
            ("so_far += found[k]", "so_far += k * found[k]"),
            ("sum(found)", "sum(k * n for k, n in enumerate(found))"),
        ),
    },
    "10.6": {
        "distances in whole milliseconds": changed(
            WATCH, ("self.interval / math.sqrt(self.count)", "int(self.interval / self.count**0.5)")
        ),
        "each distance is divided again": changed(
            WATCH,
            (
                "self.due += self.interval / math.sqrt(self.count)",
                "self.interval /= math.sqrt(self.count)\n        self.due += self.interval",
            ),
        ),
        "a short wait takes two drops off the count": changed(
            WATCH,
            ("self.count = 0\n            ", "self.count = max(0, self.count - 2)\n" + 12 * " "),
        ),
        "the interval after a short wait begins with it": changed(
            WATCH, ("self.due = None\n            ", "self.due = now + self.interval\n" + 12 * " ")
        ),
        "only no wait at all ends a bout": changed(WATCH, ("waited < self.target", "waited == 0")),
        "later bouts drop at once": changed(
            WATCH,
            (
                "now + self.interval\n",
                "now + self.interval * (self.bouts == 0)\n            self.bouts += 1\n",
            ),
        ),
        "drops of all watches are counted together": changed(
            WATCH, ("self.count += 1", "self.log.append(now)\n        self.count = len(self.log)")
        ),
        "one drop in a millisecond": changed(
            WATCH,
            ("self.due += ", "self.due = max(self.due, now + 1 - 1e-9)\n        self.due += "),
        ),
    },
}
