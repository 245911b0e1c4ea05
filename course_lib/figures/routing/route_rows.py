"""Draw a routing table as rows: to where, how far, over whom. What has just changed is marked."""

__all__ = ["TABLE_HEIGHT", "Row", "route_rows", "rows_of"]

from typing import NamedTuple

from course_lib.ferry.changed_line import DESTINATIONS
from course_lib.figures.drawing.scene import Part
from course_lib.figures.drawing.svg import label, path
from course_lib.routing.distance_vector_messages import INFINITY
from course_lib.tracing.routing_talk import Table

_PITCH, _SMALL = 15.5, 12.5  # pixels, as all that follows
_METRIC, _VIA, _ROOM = 192.0, 204.0, 196.0
TABLE_HEIGHT = (len(DESTINATIONS) + 1) * _PITCH + 4


class Row(NamedTuple):
    """A row as it is written: to which host, the metric (empty: no route), and over whom."""

    host: str
    metric: str
    via: str

    def words(self) -> str:
        """Return the row as part of a sentence."""
        return f"{self.host} {self.metric} {self.via}".replace("  ", " ")


def rows_of(table: Table) -> tuple[Row, ...]:
    """Return the rows of all destinations, those without a route too."""
    return tuple(_row(host, table) for host in DESTINATIONS)


def route_rows(
    key: str, head: str, rows: tuple[Row, ...], before: tuple[Row, ...], left: float, top: float
) -> list[Part]:
    """Return a table with its head; `before` are the rows of the scene before."""
    parts = [Part(f"{key} head", label(head, left, top + 12, "ink strong", _SMALL))]
    for number, (row, old) in enumerate(zip(rows, before, strict=True), start=1):
        y = top + 12 + number * _PITCH
        is_new = row != old
        mark = path("alert", f"M{left:g} {y - 9:g}v9l7 -4.5z" if is_new else "M0 0")
        look = "ink strong" if is_new else "ink"
        cells = (
            label(row.host, left + 11, y, look, _SMALL, room=_METRIC - 35),
            label(row.metric or " ", left + _METRIC, y, look, _SMALL, "end"),
            label(row.via, left + _VIA, y, look, _SMALL, room=_ROOM),
        )
        parts.append(Part(f"{key} row {number}", mark + "".join(cells)))
    return parts


def _row(host: str, table: Table) -> Row:
    line = table.get(DESTINATIONS[host])
    if line is None:
        return Row(host, "", "no route")
    metric, next_hops = line
    if metric == INFINITY:
        return Row(host, f"{metric}", "unreachable")
    return Row(host, f"{metric}", " or ".join(next_hops) or "here")
