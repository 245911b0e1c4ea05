"""Measure a network from its hosts: echoes, paths, transfers over TCP, streams that are played out.

Every measurement is a function `measure_NAME` that sends and receives over plain sockets, in the
network in which its process stands. It yields plain data, row by row, as they come. As a program,
`python -m course_lib.live.measuring NAME JSON` prints each row as a line of JSON.

* `kernel_sockets` - when the kernel received something, and what it keeps about errors;
* `echo`, `path` - who answers, after which time;
* `transfer`, `tcp_info` - as much as TCP can carry, and what the sender's kernel knows meanwhile;
* `media` - datagrams at a steady pace, each with its number and the time when it was sent;
* `traffic` - datagrams in bursts that go on until nobody wants them any more;
* `reports` - what is made of the rows; `play_out_buffer` - which frames come in time;
* `probes` - the way in: the same questions, and answers, as `course_lib.network.probes` has. By
  their names they are those of a simulated network, so they come from `probes` itself.

Only for networks that are yours, such as the private one of a workbook: a transfer takes all the
room that a line has. What a site allows on its own lines, its policy and the law say.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "probes": ["bulk_transfer"],
        "play_out_buffer": ["Fate", "play_out"],
        "reports": ["BulkReport", "RoundTrips", "round_trips"],
    },
)
