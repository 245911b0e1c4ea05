"""What learners believe about frames and headers, as code: unit 01.

Each function is a right answer but for one belief. Where many beliefs bend one function, the
bends are keyword arguments of a helper, so that a misconception shows nothing but itself. The
functions stand in modules by exercise; tags of frames have one of their own.
"""

__all__ = ["MISCONCEPTIONS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_01.misconceptions.building import BUILD_PACKET
from instructor.units.unit_01.misconceptions.fragments import FRAGMENT_FIELDS
from instructor.units.unit_01.misconceptions.frames import PARSE_FRAME
from instructor.units.unit_01.misconceptions.options import LIST_OPTIONS
from instructor.units.unit_01.misconceptions.packets import PARSE_PACKET
from instructor.units.unit_01.misconceptions.tags import TAGS
from instructor.units.unit_01.misconceptions.words import READ_WORD

MISCONCEPTIONS: dict[str, dict[str, Callable[..., Any]]] = {
    "1.1": READ_WORD,
    "1.2": PARSE_FRAME | TAGS,
    "1.3": FRAGMENT_FIELDS,
    "1.4": PARSE_PACKET,
    "1.5": LIST_OPTIONS,
    "1.6": BUILD_PACKET,
}
