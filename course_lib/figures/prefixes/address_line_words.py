"""Say in words what the line of addresses shows: title, tables, and a few sentences to hear."""

__all__ = ["bits_of", "words_of"]

from course_lib.figures.drawing.svg import Words
from course_lib.figures.headers.header_words import counted, listed, table
from course_lib.figures.prefixes.address_view import View
from course_lib.figures.prefixes.announcements import Announced
from course_lib.figures.prefixes.assignment_bands import Plan
from course_lib.figures.prefixes.assignments import holder_of
from course_lib.figures.prefixes.nested_boxes import chain, short_rows
from course_lib.prefixes.prefix import Prefix
from course_lib.prefixes.text import format_address


def words_of(view: View, plan: Plan, announced: Announced) -> Words:
    """Return the words of the picture; what is asked is not told."""
    title = _whose(view, plan)
    seen = view.prefix
    count = counted(seen.size, "address")
    count = count if seen.size == 1 else f"{count[:-1]}es"
    around = [str(prefix) for prefix in chain(view)]
    bits = bits_of(view.address)
    text = [
        f"{title}.",
        f"Seen: {seen}, {count}, from {_ends(seen)}.",
        f"The address in bits: {' '.join(bits)}; "
        f"the first {view.length} are those of all that is seen.",
        f"It lies in {listed(around)}.",
        *short_rows(view),
        "Assigned:",
        *table([
            (holder, str(prefix), _ends(prefix), "chosen" if prefix == plan.chosen else "")
            for prefix, holder in plan.assigned.items()
        ]),
        announced.sentences(),
        "The scale of lengths goes from /0 to /32 and is marked at /8, /16 and /24.",
    ]  # fmt: skip
    spoken = (
        f"A line of {count}, {seen}, with rows of boxes over it, one for each prefix, each row "
        f"one bit longer. {title}. It lies in {listed(around)}. Below are "
        f"{counted(len(plan.assigned), 'assignment')} as bands. {announced.sentences()}"
    )
    return Words(title, "\n".join(text), spoken)


def bits_of(address: int) -> list[str]:
    """Return the bits of an address, octet by octet.

    >>> bits_of(0xC0000201)[-1]
    '00000001'
    """
    return [f"{octet:08b}" for octet in address.to_bytes(4, "big")]


def _whose(view: View, plan: Plan) -> str:
    address = format_address(view.address)
    found = holder_of(plan.assigned, view.address)
    if found is None:
        return f"{address} is nobody's"
    return f"{address} is in {found}: {plan.assigned[found]}"


def _ends(prefix: Prefix) -> str:
    return f"{format_address(prefix.first)} to {format_address(prefix.last)}"
