"""Wrong answers to 12.1, 12.2 and 12.3 that no listed belief explains: slips in right ones."""

__all__ = ["FILTERS", "MONITORS", "ROUTERS"]

from instructor.units.items import source_of
from instructor.units.unit_12.filters.others import FilterOfSteps
from instructor.units.unit_12.monitors.others import MonitorOfPairs
from instructor.units.unit_12.router.others import RouterWithATray


def _with_a_slip(function: type, name: str, right: str, wrong: str) -> str:
    """Return the source of an answer in which one line went wrong."""
    source = source_of(function, name)
    assert source.count(right) == 1, (right, source.count(right))
    return source.replace(right, wrong)


ROUTERS = {
    what: _with_a_slip(RouterWithATray, "new_router", *slip)
    for what, slip in {
        "nobody-is-answered": (
            "self.launch(self.parts.answer(packet))", "self.parts.answer(packet)",
        ),
        "the-tray-is-never-emptied": (
            "tray, self.tray = self.tray, []\n        return tray", "return list(self.tray)",
        ),
        "questions-are-sent-twice": (
            "self.tray += questions", "self.tray += questions + questions",
        ),
        "names-for-reasons": (
            'f"{word} unreachable"', 'f"{word}_unreachable"',
        ),
        "neighbours-of-the-wrong-end": (
            "destination if way[1] is None else way[1]", "way[1]",
        ),
    }.items()
}  # fmt: skip

FILTERS = {
    what: _with_a_slip(FilterOfSteps, "new_filter", *slip)
    for what, slip in {
        "prefixes-of-the-wrong-end": ("behind = 32 - int(length)", "behind = int(length)"),
        "verdicts-change-places": ('"pass" if name in memory else "drop"',
                                   '"drop" if name in memory else "pass"'),
        "ports-in-the-other-order-of-octets": ('int.from_bytes(body[2:4], "big")',
                                               'int.from_bytes(body[2:4], "little")'),
        "header-in-octets": ("header, body = packet[: (packet[0] & 15) * 4], "
                             "packet[(packet[0] & 15) * 4 :]",
                             "header, body = packet[:20], packet[(packet[0] & 15) :]"),
    }.items()
}  # fmt: skip

MONITORS = {
    what: _with_a_slip(MonitorOfPairs, "new_monitor", *slip)
    for what, slip in {
        "prefixes-of-the-wrong-end": ("behind = 32 - int(length)", "behind = int(length)"),
        "who-is-accused": ('("sweep", source, destination)', '("sweep", destination, source)'),
        "time-since-the-start": ("at <= now_s - window_s", "at <= window_s"),
        "forged-packets-of-a-known-pair-count": (
            "        if interface not in ways:\n",
            "        if interface not in ways:\n"
            "            if (source, destination) in self.pairs:\n"
            "                self.pairs[source, destination].ask(now_s, port, *self.about)\n",
        ),
        "one-alarm-a-source": (
            "return [(\"sweep\", source, destination)] if begins else []",
            "again = [one for one in self.pairs if one[0] == source][1:]\n"
            "        return [(\"sweep\", source, destination)] if begins and not again else []",
        ),
        "packets-of-the-past": ("return self.is_sweeping and not before",
                                "return before and not self.is_sweeping"),
    }.items()
}  # fmt: skip
