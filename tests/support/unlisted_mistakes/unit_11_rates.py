"""Wrong answers to exercise 11.5 that no listed belief explains."""

__all__ = ["RATES"]

RATE = """
def rate_with_losses(every, packets_per_ack, packet_octets, round_trip_ms, timeout_ms):
    b = packets_per_ack
    def windows(top):
        return [w for w in range(max(1, top // 2), top + 1)]
    top = 1
    while b * sum(windows(top + 1)) <= every:
        top += 1
    packets = b * sum(windows(top))
    trips = b * len(windows(top))
    ms = trips * round_trip_ms
    if top < 4:
        ms += timeout_ms
    constant = packets / trips * (1 / packets) ** 0.5
    return top, constant, packets * packet_octets * 8000 / ms
"""


def _changed(*changes: tuple[str, str]) -> str:
    """Return the answer with each first text put in place of by the second."""
    source = RATE
    for old, new in changes:
        assert old in source, old
        source = source.replace(old, new)
    return source


RATES = {
    "the window after the highest is returned": _changed(("return top,", "return top + 1,")),
    "teeth begin at a third": _changed(("top // 2", "top // 3")),
    "windows grow by 2": _changed(("top + 1)]", "top + 1, 2)]")),
    "the cube root": _changed(("** 0.5", "** (1 / 3)")),
    "headers come on top": _changed(("packet_octets * 8000", "(packet_octets + 40) * 8000")),
    "half of a time-out": _changed(("ms += timeout_ms", "ms += timeout_ms / 2")),
    "time-outs at odd windows": _changed(("if top < 4", "if top % 2")),
    "the rate is for two packets an acknowledgement": _changed(
        ("    ms = trips", "    ms = 2 * trips")
    ),
    "a kilobit has 1024": _changed(("8000 / ms", "8192 / ms")),
    "late acknowledgements at large windows only": _changed(
        ("    trips = b", "    trips = (b if top > 9 else 1)")
    ),
}
