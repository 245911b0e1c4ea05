"""What happens inside a router, written down: one packet's journey, or a timeline of all."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "journey": ["follow"],
        "steps": ["Journey", "JourneyEnd", "JourneyStep"],
        "timeline": ["Timeline"],
        "watched_router": ["WatchedRouter"],
    },
)
