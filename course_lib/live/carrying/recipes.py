"""How a router is made inside its own process: from plain data, never from a pickle.

* `LibraryRecipe`: the library's router, with these routes.
* `SourceRecipe`: source text and the name of a function in it. The function is called with the
  list of interfaces, and with the routes too if it takes two arguments; it returns an object with
  `receive`, `tick` and `next_tick_s`.
"""

__all__ = ["LibraryRecipe", "Recipe", "SourceRecipe", "make_router", "make_rules", "recipe_of"]

import inspect
from collections.abc import Callable, Mapping, Sequence
from typing import Any, NamedTuple, TypeAlias

from course_lib.forwarding.router import Router
from course_lib.ip.packets import Interface
from course_lib.live.carrying.line import LineRules
from course_lib.live.carrying.line_settings import LineSettings, OwnSource
from course_lib.live.carrying.own_source import SourceError, function_of, told
from course_lib.network.careful_calls import FrameHandler, kind_of
from course_lib.prefixes.prefix import Prefix, parse_prefix
from course_lib.prefixes.text import format_address, parse_address
from course_lib.queueing.drop_policies import DropPolicy
from course_lib.queueing.schedulers import Scheduler

Route: TypeAlias = tuple[Prefix, int | None, str]  # prefix, next hop, interface

_CALLS = ("receive", "tick", "next_tick_s")


class LibraryRecipe(NamedTuple):
    """The library's router, with these routes beside those of its own links."""

    routes: tuple[Route, ...] = ()

    def as_data(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        return {"kind": "library", "routes": _routes_as_data(self.routes)}


class SourceRecipe(NamedTuple):
    """A router of somebody's own: the function in the source is called to make it."""

    source: str
    function: str = "make_router"
    before: str = ""
    after: str = ""
    routes: tuple[Route, ...] = ()

    @property
    def text(self) -> str:
        """All of the source, in the order in which it runs."""
        return "\n".join((self.before, self.source, self.after))

    def as_data(self) -> dict[str, Any]:
        """Return it as what JSON can hold."""
        return self._asdict() | {"kind": "source", "routes": _routes_as_data(self.routes)}


Recipe: TypeAlias = LibraryRecipe | SourceRecipe


def recipe_of(data: Mapping[str, Any]) -> Recipe:
    """Return what `as_data` was made of; raises `ValueError` for what is no recipe."""
    rest = {name: value for name, value in data.items() if name != "kind"}
    rest["routes"] = tuple(
        (parse_prefix(prefix), None if hop is None else parse_address(hop), interface)
        for prefix, hop, interface in data.get("routes", ())
    )
    match data.get("kind"):
        case "library":
            return LibraryRecipe(**rest)
        case "source":
            return SourceRecipe(**rest)
    raise ValueError(f"a recipe is of the kind 'library' or 'source', not {data.get('kind')!r}")


def make_router(recipe: Recipe, name: str, interfaces: Sequence[Interface]) -> FrameHandler:
    """Make the router. Raises `SourceError`, or what the library's router says of bad routes."""
    if isinstance(recipe, LibraryRecipe):
        router = Router(name, interfaces)
        for route in recipe.routes:
            router.add_route(*route)
        return router
    own = OwnSource(recipe.source, recipe.function, recipe.before, recipe.after)
    function = function_of(own)
    arguments: tuple[Any, ...] = (list(interfaces), list(recipe.routes))
    made = _called(recipe.function, function, arguments[: _takes(function)])
    if missing := [call for call in _CALLS if not callable(getattr(made, call, None))]:
        raise SourceError(
            f"{recipe.function} returned {kind_of(made)}, which has no {', '.join(missing)}: "
            f"return an object with {', '.join(_CALLS)}"
        )
    return made  # type: ignore[no-any-return]  # it has the three calls, as just seen


def make_rules(settings: LineSettings) -> LineRules:
    """Make the rules of a line's queue. Raises `SourceError`."""
    if settings.rules is None:
        return LineRules()
    made = _called(settings.rules.function, function_of(settings.rules), ())
    match made:
        case LineRules():
            return made
        case DropPolicy():
            return LineRules(drop=made)
        case Scheduler():
            return LineRules(scheduler=made)
    raise SourceError(
        f"{settings.rules.function} returned {kind_of(made)}, "
        "must return LineRules, a DropPolicy or a Scheduler"
    )


def _called(name: str, function: Callable[..., Any], arguments: tuple[Any, ...]) -> Any:
    try:
        return function(*arguments)
    except (Exception, SystemExit) as error:
        raise SourceError(f"{name} {told(error)}") from error


def _takes(function: Callable[..., Any]) -> int:
    """Return how many of two arguments the function takes."""
    try:
        inspect.signature(function).bind(None, None)
    except TypeError:
        return 1
    return 2


def _routes_as_data(routes: Sequence[Route]) -> list[list[str | None]]:
    return [
        [str(prefix), None if hop is None else format_address(hop), interface]
        for prefix, hop, interface in routes
    ]
