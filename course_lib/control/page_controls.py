"""The controls of the page: at most four, about the one thing that is chosen."""

__all__ = ["Drafts", "controls_of", "line_action"]

from typing import NamedTuple

from course_lib.control.wishes import LINE_FIELDS, LineField, line_field_text
from course_lib.figures.steering.router_view import Chosen, Kind
from course_lib.steering.changes import StagePlace
from course_lib.steering.states import RouterState
from course_lib.widgets.touch.touch_figure import Button, Choice, Control, Written

_LETTERS = {"rate_bits_per_s": 8, "delay_s": 7, "queue_packets": 7, "loss_period": 7}


class Drafts(NamedTuple):
    """What is typed and chosen in controls, and is no change yet.

    refused: the action of the field whose text can't be taken; `text` is what stands there.
    """

    prefix: str = ""
    next_hop: str = ""
    stage: str = ""
    place: str = StagePlace.INSTEAD
    stages: tuple[str, ...] = ()
    refused: str = ""
    text: str = ""


def line_action(field: LineField) -> str:
    """Return the action of a field of a line."""
    return f"set {field.setting}"


def controls_of(state: RouterState, chosen: Chosen, drafts: Drafts) -> tuple[Control, ...]:
    """Return the controls for what is chosen."""
    match chosen.kind:
        case Kind.LINE:
            return _for_line(state, chosen.name, drafts)
        case Kind.ROUTE:
            return (
                _written("prefix", "Prefix", drafts.prefix, 19, drafts),
                _written("next hop", "Next hop", drafts.next_hop, 16, drafts),
                Button("add route", "Add this route"),
                Button("withdraw route", "Withdraw it"),
            )
        case Kind.STAGE:
            return _for_stage(chosen.name, drafts)


def _for_line(state: RouterState, name: str, drafts: Drafts) -> tuple[Control, ...]:
    lines = [line for line in state.interfaces if line.name == name]
    return tuple(
        _written(line_action(field), field.name, line_field_text(field, line),
                 _LETTERS[field.setting], drafts)
        for line in lines
        for field in LINE_FIELDS
    )  # fmt: skip


def _for_stage(name: str, drafts: Drafts) -> tuple[Control, ...]:
    take_out = Button("take out", f"Take out {name}")
    if not drafts.stages:
        return (take_out,)
    return (
        Choice("own stage", "Your stage", drafts.stages, drafts.stage),
        Choice("place", "goes", tuple(StagePlace), drafts.place),
        Button("put in", f"Put it in at {name}"),
        take_out,
    )


def _written(action: str, name: str, now: str, letters: int, drafts: Drafts) -> Written:
    is_refused = drafts.refused == action
    return Written(action, name, drafts.text if is_refused else now, letters, is_refused)
