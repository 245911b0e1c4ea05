"""Join the room: what the last section of workbook 12 calls.

    join_room("DPR-H4S-...", at="192.0.2.10:8817", router=my_recipe("make_mine"))

Without a code nothing is opened and nothing is sent.
"""

__all__ = ["NoRoom", "join_room"]

import ipaddress
from typing import NamedTuple

from course_lib.exercises.progress import progress_file
from course_lib.joining.member import Member
from course_lib.joining.piers.running_pier import RunningPier
from course_lib.joining.room_panel import RoomPanel
from course_lib.joining.room_talk import LostRoomError
from course_lib.joining.shared_progress import SharedProgress
from course_lib.joining.student_id import student_id
from course_lib.links.room_codes import room_secret
from course_lib.live.ability import Ability, live_ability
from course_lib.live.carrying.recipes import Recipe

ANSWERS_WITHIN_S = 60.0  # a network has to be made, on a laptop that may be slow


class NoRoom(NamedTuple):
    """There is no room to join; `words` say why, and what to do."""

    words: str

    def __repr__(self) -> str:
        """Return the words."""
        return self.words


def join_room(
    code: str, at: str = "", router: Recipe | None = None, *, ability: Ability | None = None,
    share_progress: bool = False,
) -> RoomPanel | NoRoom:  # fmt: skip
    """Put a router into the room, and show a panel; in words why not, if that cannot be.

    code, at: what the screen at the front shows. router: what `my_recipe` gives; without it the
    library's router carries the packets. ability: what `live_ability` has found out; without
    private networks the pier is simulated in real time, and the others notice no difference.
    share_progress: whether the room's board may count how far you are; nobody is named on it.

    Raises `CodeError` for a slip in the code, `ValueError` for an address that is none.
    """
    if not code.strip():
        return NoRoom("You have joined no room. Where there is one, the screen shows its code.")
    secret = room_secret(code)
    pier = _pier(secret, router, live_ability() if ability is None else ability)
    progress = SharedProgress(progress_file()) if share_progress else None
    member = Member(_checked(at), secret, student_id(), pier, progress)
    member.begin()
    try:
        member.first.result(ANSWERS_WITHIN_S)
    except (LostRoomError, TimeoutError) as problem:
        member.close()
        return NoRoom(f"You are in no room: {problem or 'nothing was heard of it'}.")
    except BaseException:  # such as Ctrl-C: then nothing stays open
        member.close()
        raise
    return RoomPanel(member)


def _pier(secret: bytes, router: Recipe | None, ability: Ability) -> RunningPier:
    if ability.is_there:
        from course_lib.joining.piers.live_pier import LivePier

        return LivePier(secret, router)
    from course_lib.joining.piers.simulated_pier import SimulatedPier

    return SimulatedPier(secret, router)


def _checked(at: str) -> str:
    """Return "address:port", as the screen shows it."""
    address, _, port = at.strip().rpartition(":")
    try:
        found = ipaddress.IPv4Address(address)
    except ValueError:
        found = None
    if found is None or not port.isdecimal() or not 0 < int(port) < 1 << 16:
        raise ValueError(
            f'at={at!r} must be an address and a port, as on the screen: at="192.0.2.10:8817"'
        )
    return f"{found}:{int(port)}"
