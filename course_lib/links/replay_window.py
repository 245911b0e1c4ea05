"""Which numbers have come: nothing twice, and what is late is told apart from what is lost.

Datagrams carry numbers that go up by one. A bit for each of the last numbers says whether it has
come, as RFC 4303, section 3.4.3, describes it. A number that is jumped over counts as lost; if it
comes after all, it was late and not lost. What lies behind the window is refused: nobody can tell
any more whether it is new.

Nearly always the next number comes. Then nothing is done but to count: the bits are moved on when
a number comes out of turn.
"""

__all__ = ["WINDOW", "ReplayWindow"]

WINDOW = 1024  # numbers; at 2 Mbit/s a quarter of a second of the smallest frames
_ALL = (1 << WINDOW) - 1


class ReplayWindow:
    """The numbers of one direction.

    >>> window = ReplayWindow()
    >>> for number in (0, 3, 1):
    ...     window.note(number)
    >>> window.lost, window.late, window.is_new(2), window.is_new(3)
    (1, 1, True, False)
    """

    def __init__(self) -> None:
        self.highest = -1
        self.lost = self.late = 0
        self._moved_to = -1  # from here up to the highest, all have come
        self._came = 0  # bit i: whether the number `_moved_to - i` has come

    def is_new(self, number: int) -> bool:
        """Return whether this number may be taken; nothing is changed by asking."""
        behind = self.highest - number
        if behind < 0:
            return True
        ago = self._moved_to - number
        return behind < WINDOW and ago > 0 and not self._came >> ago & 1

    def note(self, number: int) -> None:
        """Enter a number that is new, once it is known to be genuine."""
        ahead = number - self.highest
        if ahead == 1:
            self.highest = number
        elif ahead > 0:
            by = min(self.highest - self._moved_to, WINDOW)
            self._came = (self._came << by | (1 << by) - 1) & _ALL
            self.lost += ahead - 1
            self._came = (self._came << ahead | 1) & _ALL if ahead < WINDOW else 1
            self.highest = self._moved_to = number
        else:
            self.lost -= 1
            self.late += 1
            self._came |= 1 << self._moved_to - number
