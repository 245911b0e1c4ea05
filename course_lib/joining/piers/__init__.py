"""The network at one's own pier: a host, a router that finds its routes, and links to neighbours.

* `own_router`, `heard_neighbours` - it speaks the room's protocol, and forwards as its owner wrote;
* `own_pier`, `line_terms` - interfaces, recipe, links and sockets, by what the room has told;
* `running_pier` - what is asked of such a network, however it runs;
* `live_pier`, `simulated_pier` - between real kernels, or simulated in real time;
* `stream_arrivals` - what has come of a stream, gathered for the room.
"""
