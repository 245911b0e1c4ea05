"""What the picture of a switch shows: one slot of a small one, and what large ones carry."""

__all__ = ["ACCEPT", "CROSS", "GRANT", "REQUEST", "Ghost", "SwitchView", "phases_of"]

from dataclasses import dataclass

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_switch import IN_TURN, ONE_LINE, WatchedSlot

REQUEST, GRANT, ACCEPT, CROSS = "request", "grant", "accept", "cross"


def phases_of(switch: str) -> tuple[str, ...]:
    """Return the steps in which a slot is shown."""
    return (REQUEST, GRANT, ACCEPT, CROSS) if switch == IN_TURN else (REQUEST, CROSS)


@dataclass(frozen=True, slots=True)
class Ghost:
    """A switch that was measured before, with what it carries, by rising number of ports."""

    switch: str
    measured: tuple[Band, ...]


@dataclass(frozen=True, slots=True)
class SwitchView:
    """A phase of a slot; `crossed` counts the cells of all slots up to it.

    While the reader is asked, nothing of theory and nothing that crosses is there.
    """

    switch: str
    slot: WatchedSlot
    number: int  # of the slot, from 1
    phase: str = REQUEST
    crossed: tuple[int, ...] = ()
    pointers: tuple[tuple[int, ...], tuple[int, ...]] = ((), ())
    measured: tuple[Band, ...] = ()
    ghosts: tuple[Ghost, ...] = ()
    slots_measured: int = 0
    is_asked: bool = False
    guess: int | None = None

    @property
    def has_one_line(self) -> bool:
        """Tell whether each input has a single line."""
        return self.switch == ONE_LINE

    @property
    def is_over(self) -> bool:
        """Tell whether the cells of this slot have crossed."""
        return self.phase == CROSS

    def blocked(self, i: int) -> tuple[int, ...]:
        """Return the numbers of cells behind the first one whose outputs are idle in this slot."""
        if not self.has_one_line or self.slot.matched[i] >= 0:
            return ()
        idle = self.slot.idle
        return tuple(cell.number for cell in self.slot.lines[i][1:] if cell.output in idle)
