"""TCP flows through a bottleneck: windows, losses, and what a buffer is good for.

Read the modules in this order:

* `theory` - rules that tie together a link, its buffer, a round trip and the flows;
* `traffic` - who shares the link, how far away, and which packets get lost on the way;
* `windows` - how the congestion window grows and shrinks (RFC 5681, RFC 9438);
* `senders`, `receivers` - the two ends; `bottleneck` - the link between them;
* `selective`, `gaps` - repair by selective acknowledgements (RFC 6675), and what is missing;
* `state`, `timing_wheel`, `memory`, `loop` - what the run remembers, and how it goes on;
* `simulation`, `results` - run it, and read what it says.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "simulation": ["PARTS", "Tcp", "TcpRun", "simulate_tcp"],
        "traffic": ["flows", "periodic_loss", "random_loss", "spread_flows"],
        "results": [
            "RunSummary",
            "fairness",
            "goodput_bits_per_s",
            "loss",
            "mean_wait_s",
            "mean_waiting",
            "mean_window",
            "summary",
            "utilisation",
            "wait_quantile_s",
            "waiting_quantile",
        ],
    },
)
