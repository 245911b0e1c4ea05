"""Wrong answers to the exercises of unit 09 that no listed belief explains."""

__all__ = ["UNLISTED"]

from unlisted_mistakes.unit_08 import changed
from unlisted_mistakes.unit_09_pipeline import PIPELINES

CROSS = """
def cross_once(lines):
    won = {}
    for i, line in enumerate(lines):
        if line and (line[0] not in won or len(line) > len(lines[won[line[0]]])):
            won[line[0]] = i
    crosses = [None] * len(lines)
    for output, i in won.items():
        crosses[i] = output
    blocked = []
    for i, line in enumerate(lines):
        if line and crosses[i] is None:
            for output in sorted(set(line)):
                if output not in won:
                    blocked.append((i, output, won[line[0]]))
    return crosses, blocked
"""

INPUTS = """
class Inputs:
    def __init__(self, ports):
        self.lines = [[[] for _ in range(ports)] for _ in range(ports)]
        self.slots = 0

    def join(self, i, o, name):
        self.lines[i][o].append(name)

    def waiting(self):
        return [[len(line) for line in row] for row in self.lines]

    def cross(self, matched):
        sent = [o for o in matched if o is not None]
        if len(sent) > len(set(sent)):
            return None
        if any(o is not None and not self.lines[i][o] for i, o in enumerate(matched)):
            return None
        self.slots += 1
        return [None if o is None else self.lines[i][o].pop(0) for i, o in enumerate(matched)]

new_inputs = Inputs
"""

JUDGE = """
def judge_matching(waiting, matched):
    sender = {}
    for i, o in enumerate(matched):
        if o is None:
            continue
        if waiting[i][o] == 0 or o in sender:
            return "not legal", [i]
        sender[o] = i
    free = [i for i, o in enumerate(matched) if o is None]
    paths = [[i] for i in free]
    seen = set()
    while paths:
        path = paths.pop(0)
        for o, cells in enumerate(waiting[path[-1]]):
            if cells == 0 or o in seen:
                continue
            if o not in sender:
                return "not maximal" if len(path) == 1 else "not maximum", path + [o]
            seen.add(o)
            paths.append(path + [o, sender[o]])
    return "maximum", []
"""

MATCHER = """
class Matcher:
    def __init__(self, ports):
        self.n = ports
        self.grant = [0] * ports
        self.accept = [0] * ports
        self.slots = 0

    def match(self, waiting):
        n, rounds, ins, outs = self.n, [], set(), set()
        self.slots += 1
        while True:
            offers = {}
            for o in range(n):
                for k in range(n):
                    i = (self.grant[o] + k) % n
                    if o not in outs and i not in ins and waiting[i][o]:
                        offers.setdefault(i, []).append(o)
                        break
            if not offers:
                return rounds
            pairs = []
            for i in sorted(offers):
                o = min(offers[i], key=lambda o: (o - self.accept[i]) % n)
                pairs.append((i, o))
            for i, o in pairs:
                ins.add(i)
                outs.add(o)
                if not rounds:
                    self.grant[o] = (i + 1) % n
                    self.accept[i] = (o + 1) % n
            rounds.append(pairs)

new_matcher = Matcher
"""

RULE = """
def longest_first(waiting, settings, memory, matched):
    ports = len(matched)
    for _ in range(ports):
        most = 0
        for i in range(ports):
            for o in range(ports):
                if matched[i] == -1 and o not in matched and waiting[i, o] > most:
                    most, pair = waiting[i, o], (i, o)
        if most == 0:
            break
        matched[pair[0]] = pair[1]
"""

UNLISTED: dict[str, dict[str, str]] = {
    "9.1": {
        "a line that is two longer wins": changed(
            CROSS, ("> len(lines[won", "> 1 + len(lines[won")
        ),
        "output 0 takes nobody": changed(
            CROSS,
            ("    crosses = [None]", "    won.pop(0, None)\n    crosses = [None]"),
            ("won[line[0]]))\n    return", "won.get(line[0], i)))\n    return"),
        ),
        "the last input is never blocked": changed(
            CROSS, ("if line and crosses", "if i < len(lines) - 1 and line and crosses")
        ),
        "only lines of three and more are blocked": changed(
            CROSS, ("if line and crosses[i]", "if len(line) > 2 and crosses[i]")
        ),
        "by counts from 1": changed(
            CROSS, ("output, won[line[0]]))", "output, won[line[0]] + 1))")
        ),
        "outputs from the highest down": changed(
            CROSS, ("sorted(set(line))", "sorted(set(line))[::-1]")
        ),
    },
    "9.2": {
        "a line holds two cells": changed(
            INPUTS, ("append(name)", "append(name)\n        del self.lines[i][o][2:]")
        ),
        "the second slot is left out": changed(
            INPUTS,
            (
                "        return [None if",
                "        if self.slots == 2:\n            return [None] * len(matched)\n"
                "        return [None if",
            ),
        ),
        "the last cell of a line never crosses": changed(
            INPUTS, ("not self.lines[i][o] for", "len(self.lines[i][o]) < 2 for")
        ),
        "a refusal empties the line of input 0": changed(
            INPUTS,
            (
                "            return None\n        if",
                "            self.lines[0] = [[] for _ in matched]\n"
                "            return None\n        if",
            ),
        ),
        "counted from the end": changed(
            INPUTS, ("for row in self.lines]", "for row in self.lines[::-1]]")
        ),
        "a name in capitals": changed(INPUTS, (".pop(0) for", ".pop(0).upper() for")),
    },
    "9.3": {
        "a single cell is not worth a pair": changed(
            JUDGE, ("if cells == 0 or", "if cells <= 1 or")
        ),
        "the witness of a wrong pair is the pair": changed(
            JUDGE, ('"not legal", [i]', '"not legal", [i, o]')
        ),
        "only the last free input is looked at": changed(
            JUDGE, ("[[i] for i in free]", "[[i] for i in free[-1:]]")
        ),
        "the last input is never free": changed(
            JUDGE, ("if o is None]\n", "if o is None and i < len(matched) - 1]\n")
        ),
        "the path in sorted order": changed(
            JUDGE, ('"not maximum", path + [o]', '"not maximum", sorted(path + [o])')
        ),
        "the largest is told with its size": changed(
            JUDGE, ('return "maximum", []', 'return "maximum", [len(sender)]')
        ),
    },
    "9.4": {
        "pointers move in every second slot only": changed(
            MATCHER, ("if not rounds:", "if not rounds and self.slots % 2:")
        ),
        "pointers go two ports on": changed(
            MATCHER, ("(i + 1) % n", "(i + 2) % n"), ("(o + 1) % n", "(o + 2) % n")
        ),
        "a fourth round is never made": changed(
            MATCHER, ("if not offers:", "if not offers or len(rounds) == 3:")
        ),
        "input 0 accepts the highest": changed(
            MATCHER,
            ("(o - self.accept[i]) % n)", "(o - self.accept[i]) % n if i else -o)"),
        ),
        "outputs look downwards": changed(
            MATCHER, ("(self.grant[o] + k) % n", "(self.grant[o] - k) % n")
        ),
        "a line of one cell requests nothing": changed(
            MATCHER, ("and waiting[i][o]:", "and waiting[i][o] > 1:")
        ),
    },
    "9.5": PIPELINES,
    "9.6": {
        "input 0 sends nothing": changed(
            RULE, ("for i in range(ports)", "for i in range(1, ports)")
        ),
        "half of the ports are enough": changed(
            RULE, ("for _ in range(ports)", "for _ in range((ports + 1) // 2)")
        ),
        "lines of ten are as good as longer ones": changed(
            RULE,
            ("waiting[i, o] > most", "min(waiting[i, o], 10) > most"),
            ("most, pair = waiting[i, o]", "most, pair = min(waiting[i, o], 10)"),
        ),
        "outputs one further on": changed(RULE, ("= pair[1]", "= (pair[1] + 1) % ports")),
        "even and odd lengths": changed(
            RULE,
            ("waiting[i, o] > most", "waiting[i, o] // 2 * 2 > most"),
            ("most, pair = waiting[i, o]", "most, pair = waiting[i, o] // 2 * 2"),
        ),
    },
}
