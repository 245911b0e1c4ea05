"""The picture of a day: a row for each session, in it units as boxes, and in these who does what.

Work at the machine is a high box, listening a low hatched one, time that is free an empty one. The
scale is the same for all days of a page.
"""

__all__ = ["day_picture", "day_sentence"]

import itertools
from collections.abc import Sequence

from markupsafe import Markup, escape

from instructor.output.pages import count
from instructor.planning.request import Request
from instructor.planning.timetable import Entry

WIDTH, LEFT, ROW, HIGH = 760, 64, 58, 34
LOW = 16  # of a box for listening
LEAST_FOR_WORDS = 34  # pixels
HATCH = (
    '<defs><pattern id="listen" width="6" height="6" patternUnits="userSpaceOnUse">'
    '<path d="M-1 7 7 -1M-1 1 1 -1M5 7 7 5"/></pattern></defs>'
)


def day_picture(request: Request, entries: Sequence[Entry]) -> Markup:
    """Draw the entries of one day."""
    scale = (WIDTH - LEFT) / max(one.minutes for one in request.sessions)
    rows = []
    for row, (session, group) in enumerate(itertools.groupby(entries, key=lambda one: one.session)):
        times = request.sessions[session]
        top = ROW * row
        rows.append(f'<text x="0" y="{top + 22}">{times.start:%H:%M}</text>')
        rows.append(f'<text class="soft" x="0" y="{top + 37}">{times.end:%H:%M}</text>')
        for entry in group:
            if entry.kind == "unattended":
                continue
            start = LEFT + scale * (entry.start - times.start).total_seconds() / 60
            rows.append(_box(entry, start, scale * entry.minutes, top + 4))
    height = ROW * (1 + max(place for place, _ in enumerate(_sessions(entries)))) - 8
    return Markup(
        f'<svg class="day" viewBox="0 0 {WIDTH} {height}" role="img" '
        f'aria-label="{escape(day_sentence(entries))}">{HATCH}{"".join(rows)}</svg>'
    )


def day_sentence(entries: Sequence[Entry]) -> str:
    """Say in words what the picture shows: sessions, units in their order, minutes by kind."""
    units = list(dict.fromkeys(one.unit.partition("-")[0] for one in entries if one.unit))
    minutes = {kind: sum(one.minutes for one in entries if one.kind == kind)
               for kind in ("hands-on", "listening", "free")}  # fmt: skip
    what = f"units {', '.join(units)}" if units else "no unit"
    return (
        f"{count(len(_sessions(entries)), 'session')}, {what}: {minutes['hands-on']} minutes of "
        f"work, {minutes['listening']} of listening, {minutes['free']} free."
    ).replace("\N{NO-BREAK SPACE}", " ")


def _sessions(entries: Sequence[Entry]) -> set[int]:
    return {one.session for one in entries}


def _box(entry: Entry, start: float, wide: float, top: float) -> str:
    low = entry.kind == "listening"
    high = LOW if low else HIGH
    y = top + HIGH - high
    label = entry.unit.partition("-")[0] if entry.unit else entry.what
    told = escape(
        f"{entry.start:%H:%M} to {entry.end:%H:%M}: {label} {entry.what if entry.unit else ''}"
    )
    kind = entry.kind.replace("hands-on", "work")
    words = ""
    if not low and entry.kind != "free" and wide >= LEAST_FOR_WORDS and len(label) * 7 < wide:
        words = (
            f'<text class="on" x="{start + wide / 2:.1f}" y="{y + 22:.1f}">{escape(label)}</text>'
        )
    return (
        f'<g><title>{told.strip()}</title><rect class="{kind}" x="{start:.1f}" y="{y:.1f}" '
        f'width="{max(1.0, wide - 2):.1f}" height="{high}"/>{words}</g>'
    )
