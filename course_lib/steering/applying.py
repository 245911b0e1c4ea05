"""Make a change at a router that is at hand, or say in words why it can't be made.

A router of somebody's own takes routes if it has `add_route(prefix, next_hop, interface)` and
`withdraw_route(prefix)` as the library's has, and stages if it has a list `stages`.
"""

__all__ = ["apply_change"]

from collections.abc import Callable, Mapping
from typing import Any

from course_lib.steering.changes import (
    AddRoute,
    Change,
    PutBackStage,
    SetLine,
    SetLink,
    SteeringError,
    SwapStage,
    WithdrawRoute,
)
from course_lib.steering.lines import SteeredLine, check_line
from course_lib.steering.own_stage import put_back, swap


def apply_change(router: object, lines: Mapping[str, SteeredLine], change: Change) -> None:
    """Make a change; raises `SteeringError`, with everything as it was, if that can't be."""
    match change:
        case AddRoute(prefix, next_hop, interface):
            _line(lines, interface)
            _call(router, "add_route", prefix, next_hop, interface)
        case WithdrawRoute(prefix):
            _withdraw(router, change)
        case SetLink(interface, is_up):
            _line(lines, interface).set_link(is_up=is_up)
        case SetLine(interface):
            check_line(change)
            _line(lines, interface).set_line(change)
        case SwapStage():
            swap(router, change)
        case PutBackStage():
            put_back(router, change)


def _line(lines: Mapping[str, SteeredLine], interface: str) -> SteeredLine:
    if interface not in lines:
        names = ", ".join(lines) or "none"
        raise SteeringError(f"there is no line at an interface {interface}; there are {names}")
    return lines[interface]


def _withdraw(router: object, change: WithdrawRoute) -> None:
    try:
        _call(router, "withdraw_route", change.prefix)
    except SteeringError as problem:
        if isinstance(problem.__cause__, KeyError):
            raise SteeringError(f"there is no route to {change.prefix}") from None
        raise


def _call(router: object, method: str, *arguments: Any) -> None:
    """Call a method that may be a student's, and say in words what went wrong."""
    call: Callable[..., Any] | None = getattr(router, method, None)
    if call is None:
        raise SteeringError(
            f"this router has no method {method}, so its routes can't be changed while it runs"
        )
    try:
        call(*arguments)
    except ValueError as problem:
        raise SteeringError(str(problem) or f"{method} refuses this") from problem
    except Exception as problem:
        told = f"{type(problem).__name__}: {problem}"
        raise SteeringError(f"the router's {method} failed: {told}") from problem
