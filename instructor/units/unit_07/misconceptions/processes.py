"""Misconceptions about a routing process, its lines and its clocks: exercise 7.6."""

__all__ = ["NEW_PROCESS"]

from collections.abc import Callable
from typing import Any

from instructor.units.unit_07.misconceptions.right_process import Messages, RightProcess, Update


class NothingAtOnce(RightProcess):
    """Believe that all news waits for the next regular update."""

    def at_once(self, before: dict[str, tuple[int, str | None]]) -> Any:
        return []


class AllAtOnce(RightProcess):
    """Believe that a change is told together with the whole table."""

    def news(self, before: dict[str, tuple[int, str | None]]) -> list[str]:
        return list(self.routes) if super().news(before) else []


class HeardIsTold(RightProcess):
    """Believe that whatever is heard is told on."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        super().receive(now_s, neighbour, update)
        return self.tell([one for one, _ in update if one in self.routes], self.whom())


class OnlyLossesAtOnce(RightProcess):
    """Believe that only losses are told at once."""

    def news(self, before: dict[str, tuple[int, str | None]]) -> list[str]:
        return [one for one in super().news(before) if self.routes[one][0] == 16]


class NoPoison(RightProcess):
    """Believe that everybody is told the same."""

    def said(self, neighbour: str, destination: str) -> int | None:
        return self.routes[destination][0]


class SilentHorizon(RightProcess):
    """Believe that a next hop is told nothing."""

    def said(self, neighbour: str, destination: str) -> int | None:
        metric, hop = self.routes[destination]
        return None if hop == neighbour else metric


class NotBackToTheTeller(RightProcess):
    """Believe that whoever told the news needs no answer."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        given: Messages = super().receive(now_s, neighbour, update)
        return [message for message in given if message[0] != neighbour]


class OnlyBetterNews(RightProcess):
    """Believe that only better news counts."""

    def hear(self, now_s: float, neighbour: str, destination: str, offer: int) -> None:
        if offer <= self.routes.get(destination, (16, ""))[0]:
            super().hear(now_s, neighbour, destination, offer)


class CutIsNoLoss(RightProcess):
    """Believe that a cut shows only when routes are not confirmed any more."""

    def cut(self, now_s: float, neighbour: str) -> Any:
        self.down.add(neighbour)
        return []


class CutRemoves(RightProcess):
    """Believe that with a line its routes are forgotten at once."""

    def cut(self, now_s: float, neighbour: str) -> Any:
        given = super().cut(now_s, neighbour)
        self.routes = {one: route for one, route in self.routes.items() if route[1] != neighbour}
        return given


class CutLineTold(RightProcess):
    """Believe that a neighbour behind a cut line is told as before."""

    def whom(self) -> list[str]:
        return list(self.costs)


class CutLineHeard(RightProcess):
    """Believe that what comes counts, whatever became of the line."""

    def hears(self, neighbour: str) -> bool:
        return True


class MendInSilence(RightProcess):
    """Believe that a mended line needs no words until the next regular update."""

    def mend(self, now_s: float, neighbour: str) -> Any:
        super().mend(now_s, neighbour)
        return []


class MendTellsAll(RightProcess):
    """Believe that all neighbours are told when a line is mended."""

    def mend(self, now_s: float, neighbour: str) -> Any:
        super().mend(now_s, neighbour)
        return self.announce(now_s)


class MendBringsBack(RightProcess):
    """Believe that with a line its routes come back."""

    def __init__(self, networks: list[str], costs: dict[str, int]) -> None:
        super().__init__(networks, costs)
        self.before_cut: dict[str, dict[str, tuple[int, str | None]]] = {}

    def cut(self, now_s: float, neighbour: str) -> Any:
        self.before_cut[neighbour] = {
            one: route for one, route in self.routes.items() if route[1] == neighbour
        }
        return super().cut(now_s, neighbour)

    def mend(self, now_s: float, neighbour: str) -> Any:
        for one, route in self.before_cut.pop(neighbour, {}).items():
            if self.routes.get(one, route)[1] == neighbour:
                self.routes[one] = route
        return super().mend(now_s, neighbour)


class NeverLate(RightProcess):
    """Believe that a route holds until somebody takes it back."""

    def is_late(self, since_s: float) -> bool:
        return False


class NeverGarbage(RightProcess):
    """Believe that an unreachable destination stays in the table."""

    def is_garbage(self, since_s: float) -> bool:
        return False


class LateIsRemoved(RightProcess):
    """Believe that a route that is not confirmed goes from the table at once."""

    def tick(self, now_s: float) -> Any:
        before = dict(self.routes)
        given = super().tick(now_s)
        for one, route in list(self.routes.items()):
            if route[0] == 16 and before[one][0] < 16:
                del self.routes[one]
        return given


class RemovalIsTold(RightProcess):
    """Believe that it is told once more when a route goes."""

    def tick(self, now_s: float) -> Any:
        before = dict(self.routes)
        super().tick(now_s)
        about = self.news(before) + [one for one in before if one not in self.routes]
        gone = {one: before[one] for one in before if one not in self.routes}
        self.routes |= gone
        told = self.tell(about, self.whom())
        for one in gone:
            del self.routes[one]
        return told


class AnybodyConfirms(RightProcess):
    """Believe that a route is confirmed by whoever names its destination."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        given = super().receive(now_s, neighbour, update)
        for one, metric in update:
            if one in self.confirmed_s and self.offer(neighbour, metric) < 16:
                self.confirmed_s[one] = now_s
        return given


class OnlyChangesConfirm(RightProcess):
    """Believe that a time begins only when a route changes."""

    def hear(self, now_s: float, neighbour: str, destination: str, offer: int) -> None:
        if self.routes.get(destination) != (offer, neighbour):
            super().hear(now_s, neighbour, destination, offer)


class AllAreConfirmed(RightProcess):
    """Believe that any message of a neighbour confirms all routes through it."""

    def receive(self, now_s: float, neighbour: str, update: Update) -> Any:
        given = super().receive(now_s, neighbour, update)
        for one, (_, hop) in self.routes.items():
            if hop == neighbour:
                self.confirmed_s[one] = now_s
        return given


class LossBeginsAnew(RightProcess):
    """Believe that each 16 begins the time anew."""

    def hear_loss(self, now_s: float, destination: str, ours: int) -> None:
        self.lost_s[destination] = now_s


class OneClock(RightProcess):
    """Believe that the 120 seconds count from the last confirmation."""

    def lose(self, now_s: float, destination: str) -> None:
        super().lose(now_s, destination)
        self.lost_s[destination] = self.confirmed_s[destination]

    def hear_loss(self, now_s: float, destination: str, ours: int) -> None:
        self.lost_s[destination] = self.confirmed_s.get(destination, now_s)


class OwnAreLate(RightProcess):
    """Believe that networks of one's own have to be confirmed, too."""

    def tick(self, now_s: float) -> Any:
        before = dict(self.routes)
        super().tick(now_s)
        for one in self.networks:
            if self.is_late(now_s) and self.routes[one][0] < 16:
                self.routes[one] = (16, None)
        return self.at_once(before)


class SecondsTooLate(RightProcess):
    """Believe that 180 and 120 seconds have to be over."""

    def is_late(self, since_s: float) -> bool:
        return since_s > self.timeout_s

    def is_garbage(self, since_s: float) -> bool:
        return since_s > self.garbage_s


class ClocksMixedUp(RightProcess):
    """Believe that 120 seconds make a route unreachable, and 180 remove it."""

    timeout_s, garbage_s = 120, 180


NEW_PROCESS: dict[str, Callable[..., Any]] = {
    "nothing-at-once": NothingAtOnce,
    "all-at-once": AllAtOnce,
    "heard-is-told": HeardIsTold,
    "only-losses-at-once": OnlyLossesAtOnce,
    "no-poison": NoPoison,
    "silent-horizon": SilentHorizon,
    "not-back-to-the-teller": NotBackToTheTeller,
    "only-better-news": OnlyBetterNews,
    "cut-is-no-loss": CutIsNoLoss,
    "cut-removes": CutRemoves,
    "cut-line-told": CutLineTold,
    "cut-line-heard": CutLineHeard,
    "mend-in-silence": MendInSilence,
    "mend-tells-all": MendTellsAll,
    "mend-brings-back": MendBringsBack,
    "never-late": NeverLate,
    "never-garbage": NeverGarbage,
    "late-is-removed": LateIsRemoved,
    "removal-is-told": RemovalIsTold,
    "anybody-confirms": AnybodyConfirms,
    "only-changes-confirm": OnlyChangesConfirm,
    "all-are-confirmed": AllAreConfirmed,
    "loss-begins-anew": LossBeginsAnew,
    "one-clock": OneClock,
    "own-are-late": OwnAreLate,
    "seconds-too-late": SecondsTooLate,
    "clocks-mixed-up": ClocksMixedUp,
}
