"""A page in the workbook that shows a running router, and steers it while packets flow.

Read the modules in this order:

* `steered_router` - what the page asks of a router, wherever it runs;
* `ferry_traffic` - a small network of the ferry with traffic;
* `simulated_worker`, `simulated_router` - the same in a process of its own;
* `live_router` - a router between kernel hosts;
* `rate_record`, `router_watch` - states as they come, in a thread of their own;
* `wishes`, `stage_sources` - what was typed becomes a change;
* `control_page` - all of it together.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "control_page": ["ControlPage", "show_control_page"],
        "simulated_router": ["SimulatedRouter"],
        "live_router": [
            "LiveRouterOnPage",
            "LiveRouterWithTraffic",
            "live_or_simulated_router",
        ],
        "steered_router": ["LostRouterError", "SteeredRouter"],
    },
)
