"""Loops as machine code or as plain Python: one source, the same numbers.

* `compiled` - decides which of the two, and prepares what a workbook needs;
* `machine_types`, `records` - what a loop takes, gives and changes;
* `rules`, `step_limits`, `plain_reasons` - rules that somebody is still writing;
* `waiting_note` - says what takes so long, while it does.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__, submod_attrs={"compiled": ["engine", "prepare"]}
)
