"""What is told to a router that is running, and what it tells: plain values, both ways.

Read the modules in this order:

* `states` - what a router tells about itself;
* `changes` - what it can be told;
* `lines` - what must be known of the lines at its interfaces;
* `own_stage` - a stage from source text, in the place of another;
* `reading`, `applying` - both, for a router that is at hand;
* `steered_wire`, `paced_network` - both, for one in a simulated network that goes on and on;
* `plain_data` - both, on their way to another process.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "states": ["InterfaceState", "NeighbourState", "RouteState", "RouterState"],
        "changes": [
            "AddRoute",
            "PutBackStage",
            "SetLine",
            "SetLink",
            "StagePlace",
            "SteeringError",
            "SwapStage",
            "WithdrawRoute",
        ],
        "lines": ["LineBooks", "SteeredLine"],
        "reading": ["read_state"],
        "applying": ["apply_change"],
        "plain_data": ["as_plain", "change_of", "state_of"],
    },
)
