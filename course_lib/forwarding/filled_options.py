"""What a router makes of the options of a packet: filled in, or a verdict that refuses them.

Whether options can be filled in depends on them alone, and what is written into them on the way
that was chosen. So RFC 1812 looks at them twice: most of it before the destination is looked at
(section 5.2.1.1, step 3), the rest when the way is known (section 5.2.1.2, step 8). Here `validate`
does the first, for the verdict alone, and the slow path the second.
"""

__all__ = ["filled_options", "refused_options"]

from collections.abc import Container

from course_lib.forwarding.verdicts import Drop, Refuse
from course_lib.headers.errors import Reason
from course_lib.ip.options import OptionError, SourceRouteError, fill_in

_POINTER_SHIFT = 24  # a parameter problem points with octet 4 of the message (RFC 792)
_OPTIONS_OCTET = 20


def filled_options(
    options: bytes, now_s: float, leaves_by: int, own: Container[int]
) -> bytes | Drop | Refuse:
    """Return the options filled in, or why they cannot be (see `fill_in`)."""
    try:
        return fill_in(options, now_s, leaves_by, own)
    except SourceRouteError:
        return Drop(Reason.SOURCE_ROUTE)
    except OptionError as error:
        return Refuse(Reason.WRONG_OPTION, (_OPTIONS_OCTET + error.offset) << _POINTER_SHIFT)


def refused_options(options: bytes) -> Drop | Refuse | None:
    """Return why a packet with these options goes no further, None if it may.

    >>> refused_options(bytes.fromhex("07030400"))
    >>> refused_options(bytes.fromhex("07000400")).reason
    <Reason.WRONG_OPTION: 'wrong option'>
    """
    filled = filled_options(options, 0.0, 0, own=())
    return None if isinstance(filled, bytes) else filled
