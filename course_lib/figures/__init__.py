"""Diagrams drawn as SVG and plots by matplotlib, each with a text that says the same."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "headers.header_diagram": ["header_diagram"],
        "lookup.trie_diagram": ["trie_diagram"],
        "tracing.packet_journey": ["packet_journey"],
        "tracing.timeline_diagram": ["timeline_diagram"],
        "tcp.window_traces": ["window_traces"],
        "conformance.board_scene": ["conformance_figure"],
        "live.play_out_strip": ["play_out_strip"],
        "live.three_ways_curves": ["three_ways_curves"],
        "drawing.band_plot": ["band_plot"],
        "drawing.plots": ["describe", "shown"],
        "drawing.svg": ["Words"],
    },
)
