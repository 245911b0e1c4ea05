"""Right answers to the exercises of unit 09, in pieces."""

from dataclasses import dataclass, field
from fractions import Fraction
from itertools import chain
from types import SimpleNamespace


class Slot:
    nobody = None

    def __init__(self, lines):
        self.lines = [tuple(line) for line in lines]
        self.heads = [line[0] if line else Slot.nobody for line in self.lines]

    def rank(self, i):
        return (len(self.lines[i]), -i)

    def winner(self, output):
        rivals = [i for i, head in enumerate(self.heads) if head is not None and head == output]
        return max(rivals, key=self.rank) if rivals else Slot.nobody

    def run(self):
        n = len(self.lines)
        winners = [self.winner(o) for o in range(n)]
        crossing = [
            h if h is not None and winners[h] == i else None for i, h in enumerate(self.heads)
        ]
        stuck = set()
        for i in range(n):
            if self.heads[i] is not None and crossing[i] is None:
                for cell in self.lines[i]:
                    if winners[cell] is None:
                        stuck.add((i, cell, winners[self.heads[i]]))
        return crossing, sorted(stuck)


def cross_once(lines):
    return Slot(lines).run()


@dataclass
class Line:
    cells: list = field(default_factory=list)
    gone: int = 0

    def __len__(self):
        return len(self.cells) - self.gone

    def take(self):
        self.gone += 1
        return self.cells[self.gone - 1]


class NotPossibleError(Exception):
    pass


class Crossbar:
    def __init__(self, ports):
        self.ports = ports
        self.line = {(i, o): Line() for i in range(ports) for o in range(ports)}

    def join(self, i, o, name):
        self.line[i, o].cells.append(name)

    def waiting(self):
        return [[len(self.line[i, o]) for o in range(self.ports)] for i in range(self.ports)]

    def _check(self, matched):
        senders = [0] * self.ports
        for i, o in enumerate(matched):
            if o is not None:
                senders[o] += 1
                if len(self.line[i, o]) == 0:
                    raise NotPossibleError
        if max(senders) > 1:
            raise NotPossibleError

    def cross(self, matched):
        try:
            self._check(matched)
        except NotPossibleError:
            return None
        result = []
        for i, o in enumerate(matched):
            if o is None:
                result.append(None)
            else:
                result.append(self.line[i, o].take())
        return result


def new_inputs(ports):
    return Crossbar(ports)


def judge_matching(waiting, matched):
    n = len(matched)
    ports = range(n)

    def illegal():
        for i in ports:
            if matched[i] is not None and (
                waiting[i][matched[i]] == 0 or any(matched[k] == matched[i] for k in range(i))
            ):
                yield "not legal", [i]

    def addable():
        yield from (
            ("not maximal", [i, j])
            for i in ports
            if matched[i] is None
            for j in ports
            if waiting[i][j] != 0 and matched.count(j) == 0
        )

    def longer():
        done = set()
        stack = [[i] for i in ports if matched[i] is None]
        while stack:
            path = stack.pop()
            if path[-1] in done:
                continue
            done.add(path[-1])
            for j in ports:
                if waiting[path[-1]][j] and j != matched[path[-1]]:
                    if j in matched:
                        stack.append([*path, j, matched.index(j)])
                    else:
                        yield "not maximum", [*path, j]

    return next(chain(illegal(), addable(), longer(), [("maximum", [])]))


def new_matcher(ports):
    all_ports = frozenset(range(ports))
    turn_in, turn_out = dict.fromkeys(all_ports, 0), dict.fromkeys(all_ports, 0)

    def pick(turn, offers):
        later = [p for p in offers if p >= turn]
        return min(later) if later else min(offers)

    def rounds(waiting, ins, outs, first):
        granted = {}
        for j in outs:
            asked = [i for i in ins if waiting[i][j]]
            if asked:
                granted[j] = pick(turn_out[j], asked)
        pairs = []
        for i in sorted(set(granted.values())):
            j = pick(turn_in[i], [j for j in granted if granted[j] == i])
            pairs.append((i, j))
        if not pairs:
            return []
        if first:
            for i, j in pairs:
                turn_in[i], turn_out[j] = (j + 1) % ports, (i + 1) % ports
        ins_left, outs_left = ins - {i for i, _ in pairs}, outs - {j for _, j in pairs}
        return [pairs, *rounds(waiting, ins_left, outs_left, False)]

    return SimpleNamespace(match=lambda waiting: rounds(waiting, all_ports, all_ports, True))


def stage_rate(clock_hz, cycles, at_once):
    """Packets a second that a stage stands."""
    return Fraction(clock_hz * at_once, cycles)


def host_rate(clock_hz, cycles, diverted):
    if diverted == 0:
        return None  # the host never has anything to do
    return Fraction(clock_hz, cycles) * 1_000_000 / diverted


def pipeline_limits(stages, clock_hz, host):
    rates = [stage_rate(clock_hz, cycles, at_once) for _, cycles, at_once in stages]
    slowest = min(rates)
    name = stages[rates.index(slowest)][0]
    latency = 0
    for stage in stages:
        latency = latency + stage[1]
    rate = slowest
    most = 0
    if host is not None:
        low, high = 0, 1_000_000
        while low < high:
            middle = (low + high + 1) // 2
            if host_rate(clock_hz, host[0], middle) >= slowest:
                low = middle
            else:
                high = middle - 1
        most = low
        by_host = host_rate(clock_hz, host[0], host[1])
        if by_host is not None and by_host < slowest:
            name = "host"
            rate = by_host
    return name, rate.numerator // rate.denominator, latency, most


def longest_first(waiting, settings, memory, matched):
    """Cells first, then the lowest place: key = cells * n * n + (n * n - 1 - place)."""
    n = waiting.shape[0]
    places = n * n
    again = True
    while again:
        top = places - 1
        for i in range(n):
            for j in range(n):
                key = waiting[i, j] * places + (places - 1 - (i * n + j))
                if waiting[i, j] > 0 and key > top:
                    top = key
        again = top > places - 1
        if again:
            place = places - 1 - top % places
            winner = place // n
            output = place % n
            matched[winner] = output
            for k in range(n):
                waiting[winner, k] = 0
                waiting[k, output] = 0
