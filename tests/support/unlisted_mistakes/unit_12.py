"""Wrong answers to the exercises of unit 12 that no listed belief explains."""

__all__ = ["UNLISTED"]

from unlisted_mistakes.unit_12_assembled import FILTERS, MONITORS, ROUTERS
from unlisted_mistakes.unit_12_stages import GREETERS, LIMITERS, TRANSLATORS

UNLISTED: dict[str, dict[str, str]] = {
    "12.1": ROUTERS,
    "12.2": FILTERS,
    "12.3": MONITORS,
    "12.4": TRANSLATORS,
    "12.5": LIMITERS,
    "12.6": GREETERS,
}
