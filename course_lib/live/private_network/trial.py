"""Try whether this machine can have a private network: make one, and see a connection through it.

Two hosts, and between them a place with two interfaces and a repeater: a process that carries every
frame over, octet by octet, and keeps nothing. If the kernel left checksums to be filled in later,
or handed over more than a link can carry, it would show here. So a TCP connection is made, and the
largest frame looked at: an echo would come through in any case.
"""

__all__ = ["LARGEST_FRAME_OCTETS", "try_private_network"]

import sys
from typing import Any

from course_lib.live.private_network.live_process import LiveProcess
from course_lib.live.private_network.namespaces import StepError
from course_lib.live.private_network.refusals import NoAbilityError, why_not
from course_lib.live.private_network.supervised import LiveNetworkError, Supervised

BEGIN, CONNECTION, WHOLE = "start of the supervisor", "TCP connection", "largest frame"
LARGEST_FRAME_OCTETS = 1514  # Ethernet header 14, and an MTU of 1500
ONE, BETWEEN, OTHER = "one", "between", "other"
PROGRAM = "course_lib.live.private_network.trial_connection"
ADDRESSES = {ONE: "192.0.2.1", OTHER: "192.0.2.2"}


def try_private_network() -> int:
    """Return the octets of the largest frame seen; raises `NoAbilityError` with words for people.

    It takes about half a second, and nothing is left of it.
    """
    if sys.platform != "linux":
        raise NoAbilityError(*why_not())
    try:
        supervised = Supervised()
        try:
            return _try(supervised)
        finally:
            supervised.close()
    except StepError as refused:
        raise NoAbilityError(*why_not(refused)) from refused
    except LiveNetworkError as ended:
        raise NoAbilityError(*why_not(StepError(BEGIN, 0, str(ended)))) from ended


def _try(supervised: Supervised) -> int:
    for place in (ONE, BETWEEN, OTHER):
        supervised.order("add_place", name=place, settings={})
    for number, place in enumerate((ONE, OTHER)):
        own, far = (f"00:00:5e:00:53:{2 * number + side:02x}" for side in (0, 1))
        end = {
            "place": place,
            "device": ("wired", own, 1500),
            "address": (ADDRESSES[place], 24, None),
        }
        middle = {"place": BETWEEN, "device": (f"to-{place}", far, 1500), "address": None}
        supervised.order("add_link", ends=[end, middle])
    repeater = LiveProcess(supervised, BETWEEN, ["-m", PROGRAM, "repeat"], lines_on_output=True)
    listener = LiveProcess(supervised, OTHER, ["-m", PROGRAM, "listen"], lines_on_output=True)
    for process in (repeater, listener):
        _line(process)  # it is ready
    caller = LiveProcess(
        supervised, ONE, ["-m", PROGRAM, "call", ADDRESSES[OTHER]], lines_on_output=True
    )
    try:
        if not _line(caller)["came_back"]:
            raise StepError(CONNECTION, 0, "what was sent did not come back")
        repeater.send({})
        largest = int(_line(repeater)["largest_octets"])
    finally:
        for process in (caller, listener, repeater):
            process.stop()
    if largest > LARGEST_FRAME_OCTETS:
        reason = f"a frame has {largest} octets, and {LARGEST_FRAME_OCTETS} are the most"
        raise StepError(WHOLE, 0, reason)
    return largest


def _line(process: LiveProcess) -> dict[str, Any]:
    for line in process.lines():
        return line
    raise StepError(CONNECTION, 0, process.how_it_ended(process.wait()))
