"""Say in words what happens on a packet's journey: what a stage changed, how it ended, a table."""

__all__ = ["changes_in_words", "last_lines", "step_in_words", "step_lines", "words_of"]

import textwrap

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_fields import read_header
from course_lib.figures.headers.header_words import counted, listed
from course_lib.figures.headers.octet_strip import is_ipv4
from course_lib.forwarding.verdicts import Divert, Drop, Held, Refuse
from course_lib.headers.assigned_numbers import ETHER_TYPE_ARP, PROTOCOL_ICMP
from course_lib.headers.layouts import ETHERNET, IPV4
from course_lib.ip.packets import OutgoingFrame
from course_lib.tracing.steps import Journey, JourneyStep, Octets

_OCTETS_IN_LINE = 20
_TYPE = slice(12, 14)


def words_of(journey: Journey, until: int) -> Words:
    """Return the title, all steps with their octets, and what is read out, up to step `until`."""
    title, arrived = _title(journey, until), f'on the interface "{journey.arrived_on}"'
    steps, missed = journey.steps[:until], journey.stages_left(until)
    ends = [f"Not reached on the fast path: {listed(missed)}."] if missed else []
    ends += last_lines(journey, until)
    size = counted(sum(map(len, journey.arrived)), "octet")
    spoken = [f"A frame of {size} arrives {arrived}.", *map(step_in_words, steps), *ends]
    lines = [title, f"arrived {arrived}", *_octet_lines(journey.arrived)]
    for number, step in enumerate(steps, start=1):
        lines.append(f"{number}. {step_in_words(step)}")
        lines += _octet_lines(step.after) if step.after != step.before else ["   octets as before"]
        if step.changed and not step.is_new:
            lines.append(f"   changed or new: {_places(step.changed)}")
    return Words(title, "\n".join([*lines, *ends]), " ".join(spoken))


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
    if step.is_new:
        return [_new_packet(step.after)]
    before, after = _fields(step.before), _fields(step.after)
    changes = []
    if step.after.link and not step.before.link:
        changes.append(f"Ethernet header put in front, for {after['Ethernet destination']}")
        after = {name: text for name, text in after.items() if not name.startswith("Ethernet")}
    changes += [
        f"{name} {before[name]} → {text}" if name in before else f"{name} {text} (new)"
        for name, text in after.items()
        if before.get(name) != text
    ]
    return changes + _data_changes(_data(step.before), _data(step.after))


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


def _data(octets: Octets) -> bytes:
    if not is_ipv4(octets):
        return octets.network
    return octets.network[len(read_header(octets.network, IPV4).octets) :]


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
    data = _data(octets)
    is_icmp = fields.get("protocol") == str(PROTOCOL_ICMP) and len(data) >= 2
    what = f", ICMP type {data[0]}, code {data[1]}" if is_icmp else ""
    size = counted(len(octets.network), "octet")
    way = f"from {fields.get('source', 'nobody')} to {fields.get('destination', 'nobody')}"
    return f"a new packet of {size} {way}{what}"


def _octet_lines(octets: Octets) -> list[str]:
    """Return the octets of a frame in hexadecimal, the Ethernet header in a line of its own."""
    data = len(_data(octets))
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
