"""One axis of packets for pipe, buffer and curves: what lies above each other is the same number.

So the pipe is drawn to length, 250 packets of it, and a buffer of 50 is a fifth of it to the eye.
"""

__all__ = ["AXIS_Y", "LARGEST", "LEFT", "NOTHING", "RIGHT", "at"]

from course_lib.figures.drawing.svg import path

LARGEST = 300  # packets
LEFT, _PACKET = 92.0, 1.12  # pixels: where 0 is, and how much room one packet has
RIGHT = LEFT + LARGEST * _PACKET
AXIS_Y = 412.0  # where its numbers stand
NOTHING = path("axis", "M0 0")  # a part that draws nothing at present


def at(packets: float) -> float:
    """Return the place of so many packets, in pixels.

    >>> at(0) == LEFT, at(LARGEST) == RIGHT
    (True, True)
    """
    return LEFT + packets * _PACKET
