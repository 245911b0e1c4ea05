"""What can be set at one direction of a line, as a value that goes anywhere as plain data.

None for the rate is "as fast as it can be", for the queue "as long as need be", for the period of
loss "nothing is lost". With a period of 100 every hundredth frame that was sent gets lost: that is
regular, so two runs lose alike, and a measured throughput can be held against a law.
"""

__all__ = ["LineSettings", "OwnSource", "check_settings"]

import math
from collections.abc import Mapping
from typing import Any, NamedTuple

LARGEST_RATE_BITS_PER_S = 1e13


class OwnSource(NamedTuple):
    """Source text, standing alone, and the function in it that is to be called."""

    source: str
    function: str
    before: str = ""  # statements of other cells that it needs
    after: str = ""


class LineSettings(NamedTuple):
    """One direction of a line.

    queue_packets counts the packets that wait and the one that is being sent, as
    `course_lib.queueing` does. rules: a function of somebody's own, without arguments, that returns
    `course_lib.live.carrying.line.LineRules`, a drop policy, or a scheduler.

    >>> LineSettings(rate_bits_per_s=10e6, queue_packets=20).as_data()["queue_packets"]
    20
    """

    rate_bits_per_s: float | None = None
    delay_s: float = 0.0
    queue_packets: int | None = None
    loss_period: int | None = None
    rules: OwnSource | None = None

    def as_data(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        return self._asdict() | {"rules": None if self.rules is None else self.rules._asdict()}

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> "LineSettings":
        """Return what `as_data` was made of; raises `ValueError` for settings that cannot be."""
        rules = data.get("rules")
        settings = cls(**dict(data) | {"rules": None if rules is None else OwnSource(**rules)})
        check_settings(settings)
        return settings


def check_settings(settings: LineSettings) -> None:
    """Raise `ValueError` for settings that no line can have; the message says which and why."""
    rate, delay_s, queue, period, _ = settings
    limits = (
        ("rate_bits_per_s", rate is None or 0 < rate <= LARGEST_RATE_BITS_PER_S, "more than 0"),
        ("delay_s", 0 <= delay_s < math.inf, "0 or more, and finite"),
        ("queue_packets", queue is None or queue >= 1, "1 or more: the one being sent counts"),
        ("loss_period", period is None or period >= 1, "1 or more: 1 loses every frame"),
    )
    for name, is_allowed, allowed in limits:
        if not is_allowed:
            raise ValueError(f"{name} must be {allowed}, not {getattr(settings, name)!r}")
