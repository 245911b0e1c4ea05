"""Put libraries out of an answer's reach: the course's own, and those that know packets.

An exercise is answered without them, or with the few names that it allows. So before an
answer runs, its process forgets what of them it had imported itself, and from then on
refuses to import them. Whoever runs an answer keeps what it holds already.

This is an obstacle and not a wall: within one process Python hides nothing from Python.
A sandbox leaves the files out as well, and whoever grades is shown which answers use
means that lead round it.
"""

__all__ = ["LIBRARIES", "close_libraries"]

import sys
import types
from collections.abc import Sequence

LIBRARIES = ("course_lib", "scapy", "dpkt", "instructor")


def close_libraries(may_use: Sequence[str] = ()) -> None:
    """Let nothing of the libraries be imported in this process, but for what `may_use` names.

    A name is that of a module or of something in one ("course_lib.checksum.internet_checksum").
    """
    allowed = _stand_ins(may_use)
    for name in [name for name in sys.modules if name.partition(".")[0] in LIBRARIES]:
        del sys.modules[name]
    for name in LIBRARIES:
        sys.modules[name] = None  # type: ignore[assignment]  # None: not to be imported
    sys.modules.update(allowed)


def _stand_ins(may_use: Sequence[str]) -> dict[str, types.ModuleType]:
    """Return modules that hold what may be used and nothing else, by their names."""
    modules: dict[str, types.ModuleType] = {}
    for name in may_use:
        import pkgutil  # hardly ever needed, and slow to import

        thing = pkgutil.resolve_name(name)
        if isinstance(thing, types.ModuleType):
            modules[name] = thing
        while "." in name:
            name, _, last = name.rpartition(".")
            outer = modules.setdefault(name, _package(name))
            setattr(outer, last, thing)
            thing = outer
    return modules


def _package(name: str) -> types.ModuleType:
    module = types.ModuleType(name)
    module.__path__ = []  # a package, of which nothing more is found on the disk
    return module
