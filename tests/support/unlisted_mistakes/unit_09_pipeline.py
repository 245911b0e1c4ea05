"""Wrong answers to exercise 9.5 that no listed belief explains."""

__all__ = ["PIPELINES"]


RIGHT = """
def pipeline_limits(stages, clock_hz, host):
    stand = [clock_hz * units / cycles for name, cycles, units in stages]
    rate = min(stand)
    limits = stages[stand.index(rate)][0]
    latency = sum(cycles for name, cycles, units in stages)
    if host is None:
        return limits, int(rate), latency, 0
    most = min(1000000, int(1000000 * clock_hz / host[0] / rate))
    if host[1] > most:
        limits, rate = "host", 1000000 * clock_hz / host[0] / host[1]
    return limits, int(rate), latency, most
"""

PIPELINES = {
    "the second slowest stage limits": RIGHT.replace("min(stand)", "sorted(stand)[1]"),
    "the latency is one short": RIGHT.replace(
        "sum(cycles for name, cycles, units in stages)",
        "sum(cycles for name, cycles, units in stages) - 1",
    ),
    "the rate is in thousands": RIGHT.replace("int(rate), latency", "int(rate) // 1000, latency"),
    "a stage too many": RIGHT.replace("latency = sum(", "latency = len(stages) + sum("),
    "half of the host": RIGHT.replace("int(1000000 *", "int(500000 *"),
    "the name of the host is capital": RIGHT.replace('"host"', '"Host"'),
}
