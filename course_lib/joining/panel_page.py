"""What a member sees of itself: its lines, its routes, what it carries for others; as a page."""

__all__ = ["panel_page", "routes_page"]

from collections.abc import Iterable, Sequence
from html import escape

from course_lib.joining.member import Standing
from course_lib.joining.messages import LineReport, LineTold, Placed, PlacedLine, Report, RouteTold

_BITS = 8
_STYLE = """<style>
.room-table { border-collapse: collapse; text-align: left; }
.room-table caption { text-align: left; font-weight: bold; padding: 0.6em 0 0.2em; }
.room-table th, .room-table td { padding: 0.1em 1.2em 0.1em 0; font-weight: normal; }
.room-table .number { text-align: right; }
</style>"""


def panel_page(now: Standing, before: Report | None = None, apart_s: float = 1.0) -> str:
    """Return the page. before: the report of `apart_s` ago, for rates."""
    words = f"{now.words[:1].upper()}{now.words[1:]}."
    parts = [_STYLE, f'<p role="status"><strong>{escape(words)}</strong></p>']
    if now.placed is not None and now.report is not None:
        parts += [
            _carried(now.report, before),
            _lines(now.placed, now.lines, now.report, before, apart_s),
            _complaints(now.report.complaints),
        ]
    return "".join(parts)


def routes_page(now: Standing) -> str:
    """Return the routes, folded: they are many, and change seldom."""
    if now.placed is None or now.report is None:
        return ""
    rows = _routes(now.placed, now.report.routes)
    table = _table("", ("block", "next hop", "by"), rows)
    return f"<details><summary>Routes: {len(rows)}</summary>{table}</details>"


def _carried(report: Report, before: Report | None) -> str:
    if not report.is_alive:
        return "<p>Your router has ended: nobody's packets pass your pier.</p>"
    if not report.forwarded:
        return "<p>You have carried no packets of others yet.</p>"
    more = report.forwarded - (before.forwarded if before else report.forwarded)
    lately = f", {more:,} of them in the last second" if more > 0 else ""
    return f"<p>About {report.forwarded:,} packets of others carried so far{lately}.</p>"


def _lines(
    placed: Placed, told: Sequence[LineTold], report: Report, before: Report | None, apart_s: float
) -> str:
    states = {line.number: line for line in told}
    now = {line.number: line for line in report.lines}
    was = {line.number: line for line in before.lines} if before else now
    rows = [
        (
            line.neighbour,
            _state(line, states.get(line.number), now.get(line.number)),
            _rate(now.get(line.number), was.get(line.number), "octets_out", apart_s),
            _rate(now.get(line.number), was.get(line.number), "octets_in", apart_s),
            f"{now[line.number].lost:,}" if line.number in now else "",
        )
        for line in placed.lines
    ]
    heads = ("line to", "state", "out (kbit/s)", "in (kbit/s)", "lost on the way here")
    return _table(f"Lines of {placed.pier}", heads, rows)


def _state(line: PlacedLine, told: LineTold | None, report: LineReport | None) -> str:
    if told is not None and told.is_pulled:
        return "pulled, at the front"
    if report is not None and report.is_up:
        return "up"
    is_awaited = told is not None and told.addresses == ()
    return "down: nobody is there" if is_awaited else "down: not heard"


def _rate(now: LineReport | None, was: LineReport | None, field: str, apart_s: float) -> str:
    if now is None or was is None:
        return ""
    octets = max(0, getattr(now, field) - getattr(was, field))
    return f"{_BITS * octets / apart_s / 1000:.1f}"


def _routes(placed: Placed, routes: Iterable[RouteTold]) -> list[tuple[str, str, str]]:
    names = {line.interface.name: line.neighbour for line in placed.lines}
    names[placed.router.name] = "your host"
    return [
        (route.prefix, route.next_hop or "on this line", names.get(route.interface, ""))
        for route in routes
    ]


def _complaints(complaints: Sequence[str]) -> str:
    items = "".join(f"<li>{escape(text)}</li>" for text in complaints)
    return f"<p>Your router says:</p><ul>{items}</ul>" if items else ""


def _table(caption: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Return a table; its numbers stand one below the other."""
    head = "".join(f'<th scope="col">{escape(each)}</th>' for each in heads)
    body = "".join(
        f'<tr><th scope="row">{escape(first)}</th>{"".join(map(_cell, others))}</tr>'
        for first, *others in rows
    )
    told = f"<caption>{escape(caption)}</caption>" if caption else ""
    return f'<table class="room-table">{told}<tr>{head}</tr>{body}</table>'


def _cell(text: str) -> str:
    is_number = text.replace(".", "", 1).replace(",", "").isdecimal()
    return f'<td class="number">{text}</td>' if is_number else f"<td>{escape(text)}</td>"
