"""Do what the screen at the front wishes."""

__all__ = ["do_wish"]

from instructor.joined_room.register import Register, RoomError, Told
from instructor.joined_room.screen.screen_wishes import Wish, WishError


def do_wish(register: Register, now_s: float, wish: Wish) -> list[Told]:
    """Return what is to be told to members; raises `WishError`, in words for the screen."""
    try:
        match wish.kind, wish.link, wish.source, wish.destination:
            case "pull" | "mend", int(link), _, _:
                return register.set_pulled(link, is_pulled=wish.kind == "pull")
            case "stream", _, None, None:
                return register.end_stream()
            case "stream", _, str(source), str(destination):
                return register.begin_stream(now_s, source, destination)
            case "follow", _, str(source), str(destination):
                return register.follow(now_s, source, destination)
    except RoomError as problem:
        raise WishError(str(problem)) from None
    raise WishError(f"a wish of the kind {wish.kind!r} needs more than was said")
