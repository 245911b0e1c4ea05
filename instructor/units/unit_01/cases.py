"""Questions of unit 01, frames and headers: the public ones, and who draws the secret ones."""

__all__ = ["PUBLIC", "SECRET"]

import random
from collections.abc import Callable, Sequence

from instructor.units.items import Question
from instructor.units.unit_01.case_frames import PARSE_FRAME, READ_WORD
from instructor.units.unit_01.case_options import BUILD_PACKET, LIST_OPTIONS
from instructor.units.unit_01.case_packets import FRAGMENT_FIELDS, PARSE_PACKET
from instructor.units.unit_01.secret_cases import (
    build_packet_questions,
    fragment_fields_questions,
    list_options_questions,
    parse_frame_questions,
    parse_packet_questions,
    read_word_questions,
)

PUBLIC: dict[str, tuple[Question, ...]] = {
    "1.1": READ_WORD,
    "1.2": PARSE_FRAME,
    "1.3": FRAGMENT_FIELDS,
    "1.4": PARSE_PACKET,
    "1.5": LIST_OPTIONS,
    "1.6": BUILD_PACKET,
}

SECRET: dict[str, Callable[[random.Random], Sequence[Question]]] = {
    "1.1": read_word_questions,
    "1.2": parse_frame_questions,
    "1.3": fragment_fields_questions,
    "1.4": parse_packet_questions,
    "1.5": list_options_questions,
    "1.6": build_packet_questions,
}
