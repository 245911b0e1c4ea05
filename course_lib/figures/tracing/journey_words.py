"""Say in words what happens on a packet's journey: what a stage changed, how it ended, a table."""

__all__ = [
    "changes_in_words",
    "last_lines",
    "picture_lines",
    "step_in_words",
    "step_lines",
    "words_of",
]

import functools
import textwrap
from collections.abc import Iterable, Sequence

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_fields import read_header
from course_lib.figures.headers.header_words import counted, listed
from course_lib.figures.tracing.journey_books import books_in_words
from course_lib.figures.tracing.journey_places import (
    Place,
    Token,
    books_at,
    end_of,
    tokens_at,
)
from course_lib.figures.tracing.octet_strip import data_of, is_ipv4
from course_lib.forwarding.verdicts import Divert, Drop, Held, Refuse
from course_lib.headers.assigned_numbers import ETHER_TYPE_ARP, PROTOCOL_ICMP
from course_lib.headers.layouts import ETHERNET, IPV4
from course_lib.ip.packets import OutgoingFrame
from course_lib.tracing.steps import Journey, JourneyStep, Octets

_OCTETS_IN_LINE = 20
_TYPE = slice(12, 14)
_TOLD_ELSEWHERE = ("received", "made", "sent", "taken", "left fast path", "task")


def words_of(journey: Journey, until: int, guess: int | None = None) -> Words:
    """Return the title, all steps with their octets, and what is read out, up to step `until`.

    `guess` is where the reader thinks that the way on the fast path ends, as in `end_of`.
    """
    title, arrived = _title(journey, until), f'on the interface "{journey.arrived_on}"'
    steps, missed = journey.steps[:until], journey.stages_left(until)
    ends = [f"Not reached on the fast path: {listed(missed)}."] if missed else []
    ends += last_lines(journey, until)
    ends += [_places_in_words(tokens_at(journey, until), journey.stages)]
    ends += [books_in_words(books_at(journey, until)), *_guess_lines(journey, until, guess)]
    size = counted(sum(map(len, journey.arrived)), "octet")
    spoken = [f"A frame of {size} arrives {arrived}.", *map(step_in_words, steps), *ends]
    lines = [title, f"1. arrived {arrived}", *_octet_lines(journey.arrived)]
    for number, step in enumerate(steps, start=2):
        lines.append(f"{number}. {step_in_words(step)}")
        lines += _octet_lines(step.after) if step.after != step.before else ["   octets as before"]
        if step.changed and not step.is_new:
            lines.append(f"   changed or new: {_places(step.changed)}")
    now = _fields(steps[-1].after if steps else journey.arrived)
    lines.append(f"The frame now: {', '.join(f'{name} {text}' for name, text in now.items())}.")
    return Words(title, "\n".join([*lines, *ends]), " ".join(spoken))


def _places_in_words(tokens: Iterable[Token], stages: Sequence[str]) -> str:
    """Say where all packets are.

    >>> _places_in_words([Token("packet", 68, Place.STAGE, 0, "dropped")], ["receive"])
    'Now: a frame of 68 octets in receive, dropped.'
    """
    return f"Now: {'; '.join(_place_in_words(token, stages) for token in tokens)}."


def _place_in_words(token: Token, stages: Sequence[str]) -> str:
    where = f"in {stages[token.stage]}" if token.place == Place.STAGE and stages else token.place
    fate = f", {token.fate}" if token.fate and token.fate != "sent" else ""
    own = ", the router's own," if token.is_own else ""
    return f"a frame of {counted(token.octets, 'octet')}{own} {where}{fate}"


def _guess_lines(journey: Journey, until: int, guess: int | None) -> list[str]:
    """Say the reader's guess, and beside it the answer once it can be seen."""
    if guess is None:
        return []
    names = [*journey.stages, "outside"]
    lines = [f"Your guess: the way on the fast path ends in {names[guess]}."]
    if journey.steps and journey.has_ended(until):
        lines.append(f"It ends in {names[end_of(journey)]}.")
    return [line.replace("in outside", "outside") for line in lines]


def picture_lines(journey: Journey, until: int) -> list[str]:
    """Return a heading for the last step, and what neither the octets nor the books say of it."""
    if not until or not journey.steps:
        arrival = f'A frame arrives on the interface "{journey.arrived_on}".'
        return [arrival, *last_lines(journey, until)]
    step = journey.steps[until - 1]
    whose = "" if step.leg == 0 else f" ({step.whose})"
    before, after = data_of(step.before), data_of(step.after)
    others = [pair for pair in step.counted if not pair[0].startswith(_TOLD_ELSEWHERE)]
    parts = [
        _outcome(step),
        step.problem,
        "; ".join(f"{name}: {value}" for name, value in step.facts),
        *(changes_in_words(step) if step.is_new else _data_changes(before, after)),
        "; ".join(f"{name} +{number}" for name, number in others),
    ]
    lines = [*(_sentence(part) for part in parts if part), *last_lines(journey, until)]
    return [f"{step.stage}{whose}", *(lines or ["Hands it on as it is."])]


def _title(journey: Journey, until: int) -> str:
    """Return how the packet ended, or how far it has come if only `until` steps are shown."""
    if not journey.has_ended(until):
        steps = f"after {counted(until, 'step')}" if until else "has just arrived"
        return f"{journey.router}: the packet {steps}"
    end = journey.end
    endings = {
        "sent": f"the packet is sent {end.words}",
        "dropped": f"{end.stage} drops the packet: {end.words}",
        "kept back": f"{end.stage} keeps the packet back",
        "left the fast path": f"the packet leaves the fast path at {end.stage}: {end.words}",
        "lost": f"the packet is lost in {end.stage}, which failed",
    }
    return f"{journey.router}: {endings[end.kind]}"


def _outcome(step: JourneyStep) -> str:
    """Return what a stage said, in words; nothing if it handed the packet on."""
    match step.verdict:
        case OutgoingFrame(interface):
            return f'sent by the interface "{interface}"'
        case Drop(reason):
            return f"dropped: {reason}"
        case Refuse(reason):
            return f"refused: {reason}"
        case Divert(task):
            return f"leaves the fast path, which cannot {task}"
        case Held():
            return "kept back, to go on later"
    return "" if not step.problem else "went wrong"


def changes_in_words(step: JourneyStep) -> list[str]:
    """Return what is different in the octets, field by field.

    >>> was, now = bytes.fromhex("4500001400000000 40 fd"), bytes.fromhex("4500001400000000 3f fd")
    >>> before, after = Octets(b"", was), Octets(b"", now)
    >>> changes_in_words(JourneyStep("rewrite", 0, "the packet", before, after))
    ['time to live 64 → 63']
    """
    return list(_changes(step.before, step.after))


@functools.lru_cache(maxsize=64)  # every scene tells all steps before it
def _changes(was: Octets, now: Octets) -> tuple[str, ...]:
    if not any(was):
        return (_new_packet(now),)
    before, after = _fields(was), _fields(now)
    changes = []
    if now.link and not was.link:
        changes.append(f"Ethernet header put in front, for {after['Ethernet destination']}")
        after = {name: text for name, text in after.items() if not name.startswith("Ethernet")}
    changes += [
        f"{name} {before[name]} → {text}" if name in before else f"{name} {text} (new)"
        for name, text in after.items()
        if before.get(name) != text
    ]
    return (*changes, *_data_changes(data_of(was), data_of(now)))


def step_lines(step: JourneyStep) -> list[str]:
    """Return all that there is to say about a step, a sentence a line."""
    verb = "Made" if step.is_new else "Changed"
    parts = (
        ("", _outcome(step)),
        ("", step.problem),
        ("", "; ".join(f"{name}: {value}" for name, value in step.facts)),
        (f"{verb}: ", "; ".join(changes_in_words(step))),
        ("counted: ", "; ".join(f"{name} +{number}" for name, number in step.counted)),
    )
    return [_sentence(start + part) for start, part in parts if part]


def step_in_words(step: JourneyStep) -> str:
    """Return a step as a line to read out."""
    lines = step_lines(step) or ["Hands it on as it is."]
    whose = "" if step.leg == 0 else f" ({step.whose})"
    return f"{step.stage}{whose}: {' '.join(lines)}"


def last_lines(journey: Journey, until: int) -> list[str]:
    """Say what else was sent, once all steps are shown."""
    if until < len(journey.steps):
        return []
    lines = [] if journey.steps else [f"No stage was called: {journey.end.words}."]
    others = list(journey.sent)
    for step in journey.steps:
        if step.verdict in others:
            others.remove(step.verdict)
    for each in others:
        is_resolution = each.frame[_TYPE] == ETHER_TYPE_ARP.to_bytes(2, "big")
        what = "address resolution" if is_resolution else "a packet that had waited"
        lines.append(f'Sent beside it by the interface "{each.interface}": {what}.')
    return lines


def _sentence(words: str) -> str:
    end = "" if words.endswith(("?", ".", "!")) else "."
    return f"{words[0].upper()}{words[1:]}{end}"


def _fields(octets: Octets) -> dict[str, str]:
    """Return the fields of both headers as people write them; those that are there."""
    link = read_header(octets.link, ETHERNET).fields if octets.link else ()
    network = read_header(octets.network, IPV4).fields if is_ipv4(octets) else ()
    found = {f"Ethernet {field.words}": field for field in link}
    found |= {field.words: field for field in network}
    return {name: field.text for name, field in found.items() if field.value is not None}


def _data_changes(before: bytes, after: bytes) -> list[str]:
    if before == after:
        return []
    more = len(after) - len(before)
    if after.startswith(before):
        return [f"{counted(more, 'octet')} added at the end of the data"]
    if before.startswith(after):
        return [f"{counted(-more, 'octet')} taken off the end of the data"]
    if before.endswith(after):
        return [f"the first {counted(-more, 'octet')} of the data taken off"]
    others = sum(1 for was, now in zip(before, after, strict=False) if was != now)
    changes = [f"data: {counted(others, 'octet')} changed"]
    if more:
        changes.append(f"{counted(abs(more), 'octet')} {'more' if more > 0 else 'less'}")
    return changes


def _new_packet(octets: Octets) -> str:
    fields = _fields(octets)
    data = data_of(octets)
    is_icmp = fields.get("protocol") == str(PROTOCOL_ICMP) and len(data) >= 2
    what = f", ICMP type {data[0]}, code {data[1]}" if is_icmp else ""
    size = counted(len(octets.network), "octet")
    way = f"from {fields.get('source', 'nobody')} to {fields.get('destination', 'nobody')}"
    return f"a new packet of {size} {way}{what}"


def _octet_lines(octets: Octets) -> list[str]:
    """Return the octets of a frame in hexadecimal, the Ethernet header in a line of its own."""
    data = len(data_of(octets))
    header = octets.network[: len(octets.network) - data]
    lines = [f"   {octets.link.hex(' ')}"] if octets.link else []
    lines += [f"   {line}" for line in textwrap.wrap(header.hex(" "), _OCTETS_IN_LINE * 3)]
    return [*lines, *([f"   and {counted(data, 'octet')} of data"] if data else [])]


def _places(octets: tuple[int, ...]) -> str:
    """Return numbers in words, neighbours put together.

    >>> _places((22, 24, 25, 26))
    'octets 22, 24-26'
    """
    starts = [n for n in octets if n - 1 not in octets]
    ends = [n for n in octets if n + 1 not in octets]
    spans = [f"{a}" if a == b else f"{a}-{b}" for a, b in zip(starts, ends, strict=True)]
    return f"octet{'' if len(octets) == 1 else 's'} {', '.join(spans)}"
