"""A timeline of a run: which packet is in which stage when, how deep the queues are, what changes.

Put a `WatchedRouter` in the place of a router. It does the same, and writes down what it sees into
a `Timeline`, which can be saved as a value change dump (VCD, IEEE 1364, section 18; its form is
written here from memory). Many programs draw such files, one line per signal.

Our router does all its work on a packet at the same instant, since it reads no clock. A picture of
that would show nothing. So a stage is *drawn* as if it took one step (a microsecond, say), and what
comes next is drawn a step later at least. The order is true, and so is the time at which a packet
comes in, as long as the one before it has been drawn by then.
"""

__all__ = ["Timeline", "ValueChange"]

import math
from typing import NamedTuple

_UNITS = ("s", "ms", "us", "ns", "ps", "fs")
_FIRST_CODE, _CODES = 33, 94  # signals are told apart by the printable ASCII characters
_BITS = 32


class ValueChange(NamedTuple):
    """From `step` on, `signal` has another value; None means that there is nothing to tell."""

    step: int
    signal: str
    value: int | None


class Timeline:
    """Signals over time, in steps.

    step_s: a power of ten from a second down to a femtosecond.

    >>> timeline = Timeline(step_s=1e-3)
    >>> timeline.record(0.005, "routes", 3)
    >>> timeline.changes
    [ValueChange(step=5, signal='routes', value=3)]
    """

    def __init__(self, step_s: float = 1e-6) -> None:
        self._timescale = _timescale(step_s)
        self.step_s = step_s
        self._values: dict[str, int | None] = {}
        self.changes: list[ValueChange] = []

    @property
    def last_step(self) -> int:
        """The step of the newest change, 0 before the first."""
        return self.changes[-1].step if self.changes else 0

    def record(self, now_s: float, signal: str, value: int | None, *, later: bool = False) -> None:
        """Note the value of a signal, if it is another one than before.

        Time never runs backwards: what comes late is put at the newest change, and a step behind it
        if `later` is set. A value is a whole number from 0 to 2**32 - 1, or None.
        """
        if value is not None and not 0 <= value < 1 << _BITS:
            raise ValueError(f"signal {signal}: the value must be 0 to 2**{_BITS} - 1, not {value}")
        if signal in self._values and self._values[signal] == value:
            return
        earliest = self.last_step + 1 if later and self.changes else self.last_step
        step = max(round(now_s / self.step_s), earliest)
        self._values[signal] = value
        self.changes.append(ValueChange(step, signal, value))

    def to_vcd(self, scope: str = "router") -> str:
        """Return the timeline as a value change dump, one 32-bit vector for each signal.

        A vector without a value is written as `bz`, "high impedance": nobody drives it.
        """
        codes = {signal: _code(number) for number, signal in enumerate(self._values)}
        lines = [f"$timescale {self._timescale} $end", f"$scope module {_word(scope)} $end"]
        lines += [f"$var wire {_BITS} {code} {_word(name)} $end" for name, code in codes.items()]
        lines += ["$upscope $end", "$enddefinitions $end", "$dumpvars"]
        lines += [f"bz {code}" for code in codes.values()] + ["$end"]
        step = -1
        for change in self.changes:
            if change.step != step:
                step = change.step
                lines.append(f"#{step}")
            value = "z" if change.value is None else f"{change.value:b}"
            lines.append(f"b{value} {codes[change.signal]}")
        return "\n".join(lines) + "\n"


def _timescale(step_s: float) -> str:
    """Return a step as VCD has it: 1, 10 or 100 of a unit.

    >>> _timescale(1e-5)
    '10 us'
    """
    exponent = round(math.log10(step_s)) if step_s > 0 else 1
    if not -15 <= exponent <= 0 or not math.isclose(step_s, 10.0**exponent):
        raise ValueError(f"step_s must be a power of ten from 1e-15 to 1, not {step_s}")
    unit, zeros = divmod(-exponent, 3)
    return f"{10 ** (-zeros % 3)} {_UNITS[unit + (zeros > 0)]}"


def _code(number: int) -> str:
    """Return the short name of a signal: a number in base 94, in printable characters."""
    code = chr(_FIRST_CODE + number % _CODES)
    return code if number < _CODES else _code(number // _CODES - 1) + code


def _word(name: str) -> str:
    """Return a name without white space, which ends a word in such a file."""
    return "_".join(name.split()) or "_"
