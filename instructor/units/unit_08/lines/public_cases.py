"""The public questions of 8.1 and 8.2.

Values that a source prints stand beside its name; the rest is worked out by the model answers.
"""

__all__ = ["LINES", "RECORDS"]

from typing import Any

from course_lib.exercises.registry import Expected
from instructor.units.items import Question

CONTRACT = "the contract's example"
LITTLE = "J. D. C. Little, Operations Research 9 (1961): exact from empty to empty"


def ask(aspect: str, *arguments: Any, source: str = "") -> Question:
    """Ask for what the model answer works out."""
    return Question(aspect, arguments, source) if source else Question(aspect, arguments)


def printed(aspect: str, source: str, value: Any, *arguments: Any) -> Question:
    """Ask for what a source prints."""
    return Question(aspect, arguments, source, Expected(value=value))


LINES = (
    ask("who waits how long", [0, 1, 2, 3], [5, 2, 9, 4], 4),
    ask("who waits how long", [2, 3, 4, 9, 10], [6, 4, 8, 3, 7], 5),
    ask("who waits how long", [1, 4, 6, 30, 31, 33], [7, 3, 8, 5, 9, 2], 6),
    ask("who waits how long", [5, 6, 8, 9, 11, 12], [4, 9, 3, 7, 12, 5], 8),
    ask("who waits how long", [0, 20, 21, 23, 60, 62], [3, 10, 4, 6, 8, 2], 7),
    ask("who waits how long", [3, 8, 9, 10, 13, 70, 71], [4, 13, 5, 9, 6, 11, 3], 9),
    ask("who waits how long", [0, 1, 2, 3], [4, 6, 9, 13], 4),
    printed("no room", CONTRACT, [0, 2, None, 0], [0, 2, 3, 10], [4] * 4, 2),
    ask("no room", [0, 1, 3], [10] * 3, 2),
    ask("no room", [0, 2, 5, 6, 13], [10] * 5, 3),
    ask("no room", [0, 2, 5, 6, 23], [10] * 5, 3),
    ask("no room", [0, 1, 4, 9, 27], [10] * 5, 3),
    ask("no room", [0, 4, 7, 14, 26], [10] * 5, 2),
    ask("no room", [0, 3, 5, 24], [10] * 4, 2),
    ask("no room", [0, 1, 4, 8, 36], [10] * 5, 3),
    ask("no room", [0, 7, 31, 35, 70], [10] * 5, 1),
    ask("no room", [0, 3, 25], [8] * 3, 1),
    ask("no room", [0, 0, 0], [10] * 3, 2),
    ask("no room", [4, 4, 20], [9] * 3, 1),
    ask("no room", [0, 2, 4, 7, 9, 11, 13, 15, 21, 25, 29], [8] * 11, 3),
    ask("no room", [0, 1, 2, 3, 5, 9, 13, 16, 17, 26, 33], [6, *[6] * 10], 2),
    ask("at the same moment", [0, 3, 8], [8] * 3, 2),
    ask("at the same moment", [0, 2, 5, 10, 20, 30], [10] * 6, 3),
    ask("at the same moment", [0, 6, 9, 18, 27], [9] * 5, 2),
    ask("at the same moment", [0, 1, 1, 2, 2], [7, 3, 9, 5, 8], 5),
    ask("at the same moment", [0, 0, 1, 1, 1], [4, 12, 6, 3, 9], 6),
    ask("at the same moment", [0, 0, 0], [5, 2, 11], 3),
)

RECORDS = (
    printed("a whole run", CONTRACT, (1.0, 0.2, 5.0), [1, 3], [5, 9], 0, 10),
    ask("a whole run", [4], [11], 0, 20, source=LITTLE),
    ask("a whole run", [2, 3, 10], [9, 5, 14], 0, 20, source=LITTLE),
    ask("a whole run", [4, 6, 7, 30], [24, 9, 12, 41], 0, 60, source=LITTLE),
    ask("a whole run", [5, 9, 11, 12, 40], [22, 20, 16, 18, 47], 0, 47, source=LITTLE),
    ask("a whole run", [1, 2, 20], [30, 4, 33], 0, 100, source=LITTLE),
    ask("a window", [0, 6, 9, 30], [4, 22, 12, 44], 5, 20),
    ask("a window", [2, 12, 14, 20, 60], [6, 31, 17, 29, 66], 9, 30),
    ask("a window", [3, 12, 15, 40], [14, 20, 19, 45], 10, 30),
    ask("a window", [1, 9, 16, 50], [13, 24, 18, 53], 7, 26),
    ask("a window", [0, 8, 11, 15, 44], [12, 17, 36, 19, 50], 6, 33),
    ask("a window", [2, 3, 20], [30, 12, 26], 5, 15),
    ask("a window", [1, 2, 60], [50, 40, 61], 10, 35),
    ask("a window", [1, 4, 40], [9, 7, 44], 10, 30),
    ask("a window", [1, 7, 12, 25], [5, 15, 20, 37], 6, 25),
    ask("a window", [0, 6, 11, 30], [2, 14, 19, 44], 4, 30),
    ask("a window", [0, 4, 8, 22], [3, 9, 17, 30], 4, 20),
    ask("a window", [1, 12, 14, 33], [3, 25, 18, 38], 12, 30),
    ask("a window", [2, 9, 11, 41], [8, 19, 27, 44], 8, 35),
    ask("dropped packets", [3, 5, 6, 15], [11, 8, None, 24], 2, 30),
    ask("dropped packets", [4, 5, 5, 9, 30], [20, None, 9, None, 41], 3, 50),
    ask("dropped packets", [7, 8, 9, 10], [19, 16, None, 30], 5, 37),
    ask("dropped packets", [2, 6, 6, 7, 21], [16, 9, None, None, 28], 1, 33),
    ask("dropped packets", [6, 8, 15, 40], [14, 12, 23, None], 5, 37),
)
