"""What somebody typed or pressed becomes a change, or a sentence that says why it can't be one."""

__all__ = [
    "LINE_FIELDS",
    "LineField",
    "added_route",
    "changed_line",
    "line_field_text",
    "withdrawn",
]

from collections.abc import Callable
from typing import Any, NamedTuple

from course_lib.prefixes.prefix import Prefix, parse_prefix, prefix_around
from course_lib.prefixes.text import PrefixError, parse_address
from course_lib.steering.changes import AddRoute, SetLine, WithdrawRoute
from course_lib.steering.states import InterfaceState, RouterState
from course_lib.widgets.touch.as_written import RefusedError, decimal_number, whole_number

NONE = ("", "none", "-")  # as people write that there is no rate, no limit, no loss


class LineField(NamedTuple):
    """A setting of a line as a field: its words, and how its text is read and written."""

    setting: str
    name: str
    read: Callable[[str], float]
    written: Callable[[float], str]
    may_be_none: bool = True


def _rate(text: str) -> float:
    return decimal_number(text, 0.001, 1e7) * 1e6


def _delay(text: str) -> float:
    return decimal_number(text, 0, 60_000) / 1e3


LINE_FIELDS = (
    LineField("rate_bits_per_s", "Rate, Mbit/s", _rate, lambda rate: f"{rate / 1e6:.6g}"),
    LineField("delay_s", "Delay, ms", _delay, lambda delay: f"{delay * 1e3:.6g}", False),
    LineField("queue_packets", "Queue, packets", lambda t: whole_number(t, 1, 10**6), str),
    LineField("loss_period", "Lose 1 in", lambda t: whole_number(t, 1, 10**6), str),
)


def line_field_text(field: LineField, line: InterfaceState) -> str:
    """Return a setting as it stands in its field."""
    value = getattr(line, field.setting)
    return "none" if value is None else field.written(value)


def changed_line(line: InterfaceState, field: LineField, text: str) -> SetLine:
    """Return the change of one setting; raises `RefusedError` for what can't be read."""
    is_none = field.may_be_none and text.strip().lower() in NONE
    try:
        value = None if is_none else field.read(text)
    except RefusedError as problem:
        hint = " Without any: none." if field.may_be_none else ""
        raise RefusedError(f"{field.name}: {problem}{hint}") from None
    now = SetLine(
        line.name, line.rate_bits_per_s, line.delay_s, line.queue_packets, line.loss_period
    )
    changed: dict[str, Any] = {field.setting: value}
    return now._replace(**changed)


def added_route(state: RouterState, prefix: str, next_hop: str) -> AddRoute:
    """Return a route; the line is that of the next hop. Raises `RefusedError`.

    An empty next hop means that the destinations are neighbours: they must be on one of the lines.
    """
    wanted = _prefix(prefix)
    text = next_hop.strip()
    if not text or text.lower() == "directly":
        for line in state.interfaces:
            if _link(line).covers(wanted):
                return AddRoute(wanted, None, line.name)
        raise RefusedError(
            f"Next hop: {wanted} is on none of the lines, so it needs one: the neighbour that "
            "leads towards it."
        )
    try:
        hop = parse_address(text, 32)
    except PrefixError as problem:
        raise RefusedError(f"Next hop: {problem}.") from None
    for line in state.interfaces:
        if hop == line.address:
            raise RefusedError(f"Next hop: {text} is {state.name} itself.")
        if _link(line).contains(hop):
            return AddRoute(wanted, hop, line.name)
    links = ", ".join(f"{_link(line)} ({line.name})" for line in state.interfaces)
    raise RefusedError(f"Next hop: {text} is on none of the lines: {links}.")


def withdrawn(state: RouterState, prefix: str) -> WithdrawRoute:
    """Return the change that takes a route away. Raises `RefusedError` if there is none."""
    wanted = _prefix(prefix)
    if all(route.prefix != wanted for route in state.routes):
        raise RefusedError(f"Prefix: there is no route to {wanted}.")
    return WithdrawRoute(wanted)


def _prefix(text: str) -> Prefix:
    try:
        return parse_prefix(text.strip())
    except ValueError as problem:
        raise RefusedError(f"Prefix: {problem}.") from None


def _link(line: InterfaceState) -> Prefix:
    return prefix_around(line.address, line.prefix_length)
