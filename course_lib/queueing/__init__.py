"""Queues: how long packets wait, how many are lost, how busy the link is.

Read the modules in this order:

* `theory` - closed forms for one queue; `tcp_theory`, `switch_theory` - for flows and switches;
* `packets` - traffic: times, sizes, flows;
* `one_queue` - the loop that sends packets through a link with a finite buffer;
* `drop_policies`, `schedulers`, `token_buckets` - rules for that loop;
* `own_rules` - your own drop policies and schedulers in that loop;
* `measures` - delay, loss and use of a run;
* `matching`, `switch` - an N x N switch in slots;
* `lines`, `checks`, `machine_types`, `compiled` - what the others stand on.

The loops are plain Python. Numba compiles them at their first use (see `compiled`); importing this
package does not load it.

>>> from course_lib.queueing.one_queue import simulate
>>> from course_lib.queueing.packets import trace
>>> three = trace(came_s=[0.0, 0.1, 0.2], octets=1000)  # 0.5 s each at 16 kbit/s
>>> [round(float(left), 1) for left in simulate(three, 16_000, compiled=False).left_s]
[0.5, 1.0, 1.5]
"""
