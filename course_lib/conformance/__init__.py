"""Clauses of the standards, as questions that can be put to any router.

Read the modules in this order:

* `bench` - the router's place: three links, who stands at them, and the routes that it is told;
* `given` - the frames that are sent to it;
* `seen` - what it sends, taken to pieces;
* `expectations` - what a clause wants to see, and the words for what is missing;
* `scenario` - a clause: what is sent, and what is expected by which standard;
* `clauses` - all of them, a module for each kind;
* `stations` - the neighbours, who answer questions for their hardware addresses;
* `playing` - send a scenario's frames to a router object, and note what comes out;
* `board` - do that with all clauses, and say what became of each.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "board": ["Board", "Outcome", "Result", "board_of", "conformance_board"],
        "all_clauses": ["SCENARIOS"],
        "scenario": ["Scenario"],
    },
)
