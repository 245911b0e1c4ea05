"""The lines of a pier: what the room said of each, as the terms that its link goes by."""

__all__ = ["LineBook"]

from collections.abc import Iterable, Mapping

from course_lib.joining.messages import Address, LineReport, LineTold, Placed
from course_lib.links.over_udp.udp_link import LinkReport
from course_lib.links.terms import LinkTerms


class LineBook:
    """All lines, by their numbers. ports: of our own sockets."""

    def __init__(self, placed: Placed, ports: Mapping[int, int]) -> None:
        self._placed, self._ports = placed, dict(ports)
        self._lines = {line.number: line for line in placed.lines}
        self._addresses = dict.fromkeys(self._lines, tuple[Address, ...]())

    def terms(self, number: int) -> LinkTerms:
        """Return the terms of a line as they are now."""
        line = self._lines[number]
        return LinkTerms(
            number, line.end, self._ports[number], self._addresses[number], line.interface.mtu,
            self._placed.rate_bits_per_s,
        )  # fmt: skip

    def told(self, line: LineTold) -> LinkTerms:
        """Return the terms by what the room says; addresses of None stay as they were."""
        if line.addresses is not None:
            self._addresses[line.number] = line.addresses
        return self.terms(line.number)

    def reports(self, links: Mapping[str, LinkReport]) -> Iterable[LineReport]:
        """Return what the room is told of lines, by the reports of their links, by interface."""
        for number, line in self._lines.items():
            link = links.get(line.interface.name)
            if link is None:
                continue
            counted = link.counters
            yield LineReport(
                number, link.is_up, counted.frames_out, counted.octets_out, counted.frames_in,
                counted.octets_in, counted.lost,
            )  # fmt: skip
