"""The fast path: carry a packet from stage to stage until one of them returns a verdict.

A stage may be a student's. Whatever it does, the router goes on: a stage that raises, or returns
something that is neither packet nor verdict, costs the one packet. The failure is counted under
the name of the stage, and a sentence about it is kept in `complaints`.
"""

__all__ = ["MAX_COMPLAINTS", "FastPath", "StageError"]

from collections import deque
from collections.abc import Sequence

from course_lib.forwarding.counters import Counters
from course_lib.forwarding.verdicts import (
    HELD,
    Divert,
    Drop,
    Refuse,
    SlowPathTask,
    Stage,
    StageOrderError,
    Stop,
    name_of,
)
from course_lib.headers.errors import PacketError, Reason
from course_lib.ip.packets import OutgoingFrame, Packet

MAX_COMPLAINTS = 100  # the newest are kept


class StageError(RuntimeError):
    """A stage that broke the agreement on what stages return."""


class FastPath:
    """Carries packets through stages, and counts what is sent or dropped on the way.

    >>> from course_lib.ferry.north_pier_alone import ARRIVALS, north_pier
    >>> router, arrival = north_pier(), ARRIVALS["no route"]
    >>> router.fast_path.carry(Packet(0.0, *arrival), router.stages).verdict
    Refuse(reason=<Reason.NO_ROUTE: 'no route'>, rest_of_header=0)
    """

    def __init__(self, counters: Counters) -> None:
        self.complaints: deque[str] = deque(maxlen=MAX_COMPLAINTS)
        self._counters = counters

    def carry(self, packet: Packet, stages: Sequence[Stage]) -> OutgoingFrame | Stop | None:
        """Return the frame to send, a `Stop` for the slow path, or None: dropped or held."""
        stage: Stage | None = None
        rest = iter(stages)
        try:
            for stage in rest:
                result = stage(packet)
                if result.__class__ is not Packet:
                    break
                packet = result
            else:
                raise StageError("the last stage handed the packet on; the list must end in send")
            if result.__class__ is OutgoingFrame:
                self._counters.sent += 1
                return result
            return self._settled(packet, result, stage, tuple(rest))
        except PacketError as error:
            self._counters.dropped[error.reason] += 1
        except Exception as error:
            self.fail("(no stage)" if stage is None else name_of(stage), error)
        return None

    def fail(self, name: str, error: Exception) -> None:
        """Count a packet as lost through the fault of the stage or service called `name`."""
        self.complain(name, error)
        self._counters.dropped[Reason.STAGE_FAILED] += 1

    def complain(self, name: str, error: Exception) -> None:
        """Keep a sentence on what went wrong in the stage or service called `name`."""
        is_ours = isinstance(error, StageError | StageOrderError)
        kind = "" if is_ours else type(error).__name__
        what = ": ".join(filter(None, [kind, str(error)]))  # an error may have a kind and no words
        self.complaints.append(f"stage {name}: {what}")
        self._counters.stage_failures[name] += 1

    def _settled(
        self, packet: Packet, verdict: object, stage: Stage, rest: tuple[Stage, ...]
    ) -> Stop | None:
        """Count a drop, or check that the slow path can work with the verdict."""
        match verdict:
            case Drop(Reason() as reason):
                self._counters.dropped[reason] += 1
                return None
            case Refuse(Reason(), int()) | Divert(SlowPathTask(), Packet()):
                return Stop(packet, verdict, stage, rest)
        if verdict is HELD:
            return None
        hint = "did it forget to return the packet?" if verdict is None else ""
        raise StageError(
            f"returned {verdict!r:.200}, must return a packet or a verdict "
            f"(Drop, Refuse, Divert, HELD, OutgoingFrame) {hint}".rstrip()
        )
