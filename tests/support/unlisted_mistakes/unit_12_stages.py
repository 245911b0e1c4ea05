"""Wrong answers to exercises 12.4, 12.5 and 12.6 that no listed belief explains.

Each is a right answer with one slip in it.
"""

__all__ = ["GREETERS", "LIMITERS", "TRANSLATORS"]

from instructor.units.items import source_of
from instructor.units.unit_12.greeter.others import GreeterOfRecords, GreeterOfTables
from instructor.units.unit_12.limiter.others import LimiterOfHistory, LimiterOfMoments
from instructor.units.unit_12.translator.others import TranslatorOfHistory, TranslatorOfWords
from unlisted_mistakes.unit_08 import changed

WORDS = source_of(TranslatorOfWords, "new_translator")
HISTORY = source_of(TranslatorOfHistory, "new_translator")
MOMENTS = source_of(LimiterOfMoments, "new_limiter")
LEVELS = source_of(LimiterOfHistory, "new_limiter")
RECORDS = source_of(GreeterOfRecords, "new_greeter")
TABLES = source_of(GreeterOfTables, "new_greeter")

TRANSLATORS = {
    "ports from the end": changed(WORDS, ("left[0]\n", "left[-1]\n")),
    "protocol forgotten on the way back": changed(
        WORDS, ("(protocol, words[11])", "(17, words[11])")
    ),
    "partners of all hosts together": changed(
        WORDS,
        ("elif (*key, *words[6:8]) not in", "elif words[6:8] not in"),
        ("self.asked:\n", "[list(one[2:]) for one in self.asked]:\n"),
    ),
    "mappings die a second late": changed(WORDS, ("now >= used + LIVES", "now > used + LIVES")),
    "mappings of TCP live as long as a lease": changed(HISTORY, ("6: 7440", "6: 7400")),
    "the outer header of an error is left": changed(
        WORDS, ("put(words, 8, [5], who[1])", "pass"), ("put(words, 9, [5], who[2])", "pass")
    ),
    "the quote's header sum is left": changed(
        HISTORY,
        (
            "inner = with_end(quote[:28], 12, 20, who[:4], who[4:])",
            "inner = with_end(quote[:28], 12, 20, who[:4], who[4:])\n"
            "        inner = inner[:10] + quote[10:12] + inner[12:]",
        ),
    ),
    "a packet that is refused makes a friend": changed(
        WORDS,
        (
            '            return "stranger"\n',
            '            self.asked.add((*key, *words[6:8]))\n            return "stranger"\n',
        ),
    ),
}

LIMITERS = {
    "a kilobit has 1024 bits": changed(MOMENTS, ("Fraction(8000,", "Fraction(8192,")),
    "time in seconds": changed(LEVELS, ("Fraction(rate, 8000)", "Fraction(rate, 8)")),
    "the first bits counted from the other end": changed(
        LEVELS,
        ("number - number % (1 << 32 - self.settings[0])", "number % 2 ** self.settings[0]"),
    ),
    "one bucket too many": changed(LEVELS, ("> self.most", "> self.most + 1")),
    "room is looked for first": changed(
        LEVELS,
        (
            "        if octets > levels.get",
            "        if len(levels.keys() | {block}) > self.most:\n"
            '            return "no room"\n        if octets > levels.get',
        ),
    ),
    "the last block first": changed(
        LEVELS, ("in sorted(self.levels(now_ms))", "in sorted(self.levels(now_ms), reverse=True)")
    ),
    "half of the burst at first": changed(
        LEVELS, ("(moment, Fraction(burst))", "(moment, Fraction(burst, 2))")
    ),
    "a mark for 1 and 3": changed(
        MOMENTS, ('("drop", "mark", "mark", "mark")', '("drop", "mark", "drop", "mark")')
    ),
}

GREETERS = {
    "the type of IPv4": changed(RECORDS, ("self.me, 0x88B5", "self.me, 0x0800")),
    "source before destination": changed(RECORDS, ("pack(to, self.me,", "pack(self.me, to,")),
    "frames of 64 octets": changed(RECORDS, ("bytes(36)", "bytes(40)")),
    "the confirm says its numbers the other way round": changed(
        RECORDS, ("3, read.heard, read.own)", "3, read.own, read.heard)")
    ),
    "a refusal says its numbers the other way round": changed(
        RECORDS, ("4, 0, read.own)", "4, read.own, 0)")
    ),
    "waits are twice as long": changed(RECORDS, ("now + self.wait,", "now + 2 * self.wait,")),
    "a silent peer is hailed anew": changed(
        RECORDS, ('one["state"] = "silent"', 'one["left"] = 1')
    ),
    "numbers begin one later": changed(TABLES, ("self.begun = 0", "self.begun = 1")),
    "all are told in turn of their addresses": changed(
        TABLES, ("for whose, peer in self.order]", "for whose, peer in sorted(self.order)]")
    ),
}
