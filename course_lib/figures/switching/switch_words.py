"""Say in words what the picture of a switch shows."""

__all__ = ["carried_rows", "slot_sentences", "switch_words"]

from course_lib.experiments.intervals import Band
from course_lib.ferry.one_switch import MEASURED_PORTS, PORTS, expected_share
from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, table
from course_lib.figures.switching.saturation_axes import SHARE_TICKS
from course_lib.figures.switching.switch_view import ACCEPT, GRANT, REQUEST, SwitchView
from course_lib.switching.theory import INPUT_LIMIT

_HEAD = ("ports", "theory %", "measured %")
_AXES = (
    f"Axes: {', '.join(map(str, MEASURED_PORTS))} ports; outputs busy "
    f"{', '.join(map(str, SHARE_TICKS))} %."
)


def switch_words(view: SwitchView) -> Words:
    """Return title, all numbers, and sentences to hear."""
    title = _title(view)
    about = f"{PORTS} inputs, {PORTS} outputs; {view.switch}. All lines stay full."
    guess = "" if view.guess is None else f"Your guess for {PORTS} ports: {view.guess} %."
    now = slot_sentences(view)
    slots = _slots_so_far(view)
    text = [title, about, *now, "", *_lines(view), "", slots, guess, *_tables(view), _AXES]
    spoken = ["A crossbar between lines of cells and outputs; below it, what switches carry.",
              about, *now, slots, guess, _limit(view)]  # fmt: skip
    return Words(title, "\n".join(text), " ".join(filter(None, spoken)))


def slot_sentences(view: SwitchView) -> list[str]:
    """Return what happens in this phase of the slot: what stands beside the crossbar."""
    slot = view.slot
    if view.phase == REQUEST:
        if not view.has_one_line:
            return ["Each input requests every output for which it has a cell."]
        first = "The first cell of each line requests its output."
        return [first, *(
            f"Inputs {_list(inputs)} want output {output}."
            for output, inputs in enumerate(slot.requested)
            if len(inputs) > 1
        )]  # fmt: skip
    if view.phase == GRANT:
        return ["Each output grants one request: the first at or after its pointer."]
    if view.phase == ACCEPT:
        return [
            "Each input accepts one grant: the first at or after its pointer.",
            "Only these pairs move their pointers, each to the port behind its partner.",
        ]
    return [f"{counted(slot.crossed, 'cell')} of {PORTS} crossed.", *_why_idle(view)]


def _why_idle(view: SwitchView) -> list[str]:
    if not view.slot.idle:
        return ["No output is idle."]
    idle = f"Idle: {_outputs(view.slot.idle)}."
    if not view.has_one_line:
        return [idle, "Granted to an input that accepted another."]
    count = sum(len(view.blocked(i)) for i in range(PORTS))
    if not count:
        return [idle, "No cell that waits behind a loser is for it."]
    stand = "cell for it stands" if count == 1 else "such cells stand"
    return [idle, f"{count} {stand} behind a first cell that had to stay."]


def carried_rows(view: SwitchView) -> list[tuple[str, str, str]]:
    """Return a row for each number of ports that is measured, theory beside it."""
    return [(f"{one.x:g}", f"{100 * expected_share(view.switch, int(one.x)):.1f}", _measured(one))
            for one in view.measured]  # fmt: skip


def _measured(band: Band) -> str:
    return f"{100 * band.mean:.1f} ± {50 * (band.high - band.low):.1f}"


def _title(view: SwitchView) -> str:
    if view.is_asked:
        return f"All {PORTS} lines are full. What share of {PORTS} outputs is busy, on average?"
    if view.measured:
        largest = max(view.measured, key=lambda one: one.x)
        return f"{view.switch}: {largest.x:g} ports carry {100 * largest.mean:.1f} %".capitalize()
    what = {REQUEST: "inputs request", GRANT: "outputs grant", ACCEPT: "inputs accept"}
    crossed = f"{view.slot.crossed} of {PORTS} cross"
    return f"Slot {view.number}: {what.get(view.phase, crossed)}"


def _lines(view: SwitchView) -> list[str]:
    """Return each input with its cells, the first one first, and each output with its cell."""
    slot, rows = view.slot, []
    for i, line in enumerate(slot.lines):
        cells = " ".join(f"{cell.output}" for cell in line)
        goes = slot.matched[i] if view.phase not in (REQUEST, GRANT) else -1
        end = f", to output {goes}" if goes >= 0 else ""
        rows.append(f"input {i}: cells for {cells}{end}")
    if view.phase == GRANT and slot.granted:
        rows += [f"output {output} grants to input {i}"
                 for output, i in enumerate(slot.granted)]  # fmt: skip
    return rows + _pointers(view)


def _pointers(view: SwitchView) -> list[str]:
    of_outputs, of_inputs = view.pointers
    if not of_outputs:
        return []
    return [f"pointers of outputs are at inputs {_list(of_outputs)}",
            f"pointers of inputs are at outputs {_list(of_inputs)}"]  # fmt: skip


def _slots_so_far(view: SwitchView) -> str:
    if not view.crossed:
        return ""
    slots = (f"{crossed} in slot {slot}" for slot, crossed in enumerate(view.crossed, start=1))
    return f"Cells that crossed: {', '.join(slots)}."


def _tables(view: SwitchView) -> list[str]:
    if view.is_asked:
        return []
    rows = carried_rows(view)
    lines = [f"Measured in {view.slots_measured:,} slots:"] if rows else []
    lines += table([_HEAD, *rows]) if rows else []
    for ghost in view.ghosts:
        known = ", ".join(
            f"{counted(int(one.x), 'port')} {100 * one.mean:.1f} %" for one in ghost.measured
        )
        lines.append(f"before, {ghost.switch}: {known}")
    return [*lines, _limit(view)]


def _limit(view: SwitchView) -> str:
    if view.is_asked:
        return ""
    return f"One line at each input, ever more ports: {100 * INPUT_LIMIT:.1f} %."


def _outputs(outputs: tuple[int, ...]) -> str:
    return f"output{'s' if len(outputs) > 1 else ''} {_list(outputs)}"


def _list(numbers: tuple[int, ...]) -> str:
    return ", ".join(map(str, numbers))
