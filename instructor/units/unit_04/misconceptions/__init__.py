"""What learners believe about longest prefix match, as code: unit 04.

Each function is a right answer but for one belief. The beliefs in words, and what repairs them,
stand in `course_lib/exercises/wording/unit_04.toml`. That learners hold them is common practice, no
published source.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_04.misconceptions.covering import COVERS
from instructor.units.unit_04.misconceptions.levels import BUILD_TABLES
from instructor.units.unit_04.misconceptions.lists import LOOK_UP
from instructor.units.unit_04.misconceptions.spare import SPARE_ROUTES
from instructor.units.unit_04.misconceptions.table_methods import TABLE_METHODS
from instructor.units.unit_04.misconceptions.tables import NEW_TABLE
from instructor.units.unit_04.misconceptions.walks import WALK_TRIE

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "4.1": COVERS,
    "4.2": LOOK_UP,
    "4.3": WALK_TRIE,
    "4.4": NEW_TABLE | TABLE_METHODS,
    "4.5": BUILD_TABLES,
    "4.6": SPARE_ROUTES,
}
