"""Queues: how long packets wait, how many are lost, how busy one link with a buffer is.

Read the modules in this order:

* `theory` - closed forms for one queue;
* `packets` - traffic: times, sizes, flows;
* `one_queue` - the loop that sends packets through a link with a finite buffer;
* `drop_policies`, `schedulers`, `token_buckets` - rules for that loop;
* `own_rules` - your own drop policies and schedulers in that loop;
* `measures` - delay, loss and use of a run;
* `lines`, `checks` - what the others stand on.

The loops are plain Python. Numba compiles them at their first use (see `course_lib.engine`);
importing this package does not load it.

>>> from course_lib.queueing import simulate, trace
>>> three = trace(came_s=[0.0, 0.1, 0.2], octets=1000)  # 0.5 s each at 16 kbit/s
>>> [round(float(left), 1) for left in simulate(three, 16_000, compiled=False).left_s]
[0.5, 1.0, 1.5]
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "packets": [
            "Packets",
            "checked",
            "constant_times",
            "exponential_sizes",
            "merged",
            "mixed_sizes",
            "on_off_times",
            "poisson_times",
            "trace",
        ],
        "one_queue": ["Buffer", "FATES", "Ledger", "QueueRun", "serve", "simulate"],
        "drop_policies": [
            "DropPolicy",
            "DropRule",
            "PacketView",
            "TAIL_DROP",
            "controlled_delay",
            "keep",
            "random_early",
        ],
        "schedulers": [
            "ChoiceRule",
            "FIRST_COME",
            "Heads",
            "Scheduler",
            "deficit_round_robin",
            "strict_priority",
        ],
        "token_buckets": [
            "COLOURS",
            "METERS",
            "Metered",
            "policing",
            "shaped_times",
            "single_rate_colours",
            "two_rate_colours",
        ],
        "own_rules": ["RuleError", "own_policy", "own_scheduler"],
        "measures": ["Measures", "measure"],
        "theory": ["mg1"],
    },
)
