"""Live figures for workbooks: controls on top of the plain functions of `course_lib.figures`.

Nothing that is graded depends on a control; under every live figure the same stands as text.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "headers.header_explorer": ["explore_header"],
        "headers.sum_explorer": ["explore_sum"],
        "headers.error_explorer": ["explore_errors"],
        "prefix_explorer": ["explore_prefixes"],
        "trie_explorer": ["explore_trie"],
        "neighbour_explorer": ["explore_neighbours"],
        "journey_explorer": ["explore_journey", "explore_recorded"],
        "buffer_explorer": ["explore_buffers"],
        "wait_explorer": ["explore_waits"],
        "loss_explorer": ["explore_loss"],
        "switch_explorer": ["explore_switch"],
        "route_explorer": ["explore_routes"],
        "conformance_explorer": ["watch_conformance"],
    },
)
