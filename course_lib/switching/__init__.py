"""Cells through a crossbar: an N x N switch in slots, and how its inputs are matched to outputs.

* `matching` - which inputs send to which outputs in a slot;
* `own_rules` - your own matching in that loop;
* `switch` - the loop that takes cells from inputs to outputs, slot by slot;
* `theory` - how much such a switch carries.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "switch": [
            "SwitchMeasures",
            "SwitchRun",
            "Waiting",
            "measure_switch",
            "run_slots",
            "simulate_switch",
            "uniform_cells",
        ],
        "own_rules": ["own_matching"],
        "matching": ["MatchRule", "Matching", "draw", "random_matching", "round_robin_matching"],
        "theory": ["INPUT_LIMIT", "input_saturation", "output_wait_slots", "random_match_share"],
    },
)
