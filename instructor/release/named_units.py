"""Units as people name them on the command line: by the folder's name, or by its number."""

__all__ = ["named_units"]

from collections.abc import Iterable

from instructor.output.wrong_places import WrongPlaceError
from instructor.release.workbook_files import unit_names


def named_units(option: str, names: Iterable[str]) -> tuple[str, ...]:
    """Return the units that are meant, in the order of the course.

    Raises `WrongPlaceError`, with the option, for a name that no unit has that is taught.
    """
    known = unit_names()
    meant = set()
    for name in names:
        found = [one for one in known if name in (one, one.partition("-")[0])]
        if not found:
            like = [one for one in known if one.startswith(name)]
            hint = f" Did you mean {like[0]}?" if len(like) == 1 else ""
            raise WrongPlaceError(
                f"{option} {name}: there is no such unit.{hint} There are {', '.join(known)}."
            )
        meant.update(found)
    return tuple(one for one in known if one in meant)
