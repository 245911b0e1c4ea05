"""The scenes that workbooks use: the data network of the invented Quillwater Ferries."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "changed_line": ["Change", "LINES", "WAYS", "follow_change"],
        "network": ["ferry_network"],
        "north_pier_alone": ["ARRIVALS", "north_pier"],
        "lossy_line": ["LossyFlow", "lossy_rate", "square_root_mbit_s"],
        "one_line": ["LineTraffic", "prepare_line", "progress", "run_line"],
        "one_pipeline": ["pipeline_timeline"],
        "one_switch": ["prepare_switch"],
        "own_process": ["run_beside_others"],
        "shared_line": [
            "Measured",
            "PACKET_S",
            "PIPE_PACKETS",
            "POLICIES",
            "RATE_BITS_PER_S",
            "ROUND_TRIP_S",
            "Sharing",
            "expected_use",
            "measure_sharing",
            "root_packets",
            "run_sharing",
        ],
    },
)
