"""A network of routers, hosts and wires in which time is counted in events, not waited for.

Read the modules in this order:

* `event_clock` - the time jumps from event to event;
* `wires` - rate, delay, loss and a finite buffer, in each direction;
* `records` - what happened, as one flat list;
* `plan_checks` - mistakes in the addresses, found before anything is sent;
* `careful_calls`, `stations` - routers that somebody is still writing, called with care;
* `simulation` - all of it together.

At the ends of the wires stand computers (`hosts`): `pace`, `tasks` - when they send, and what for;
`host` - what they answer. Then

* `building` - a whole network from a list of links;
* `probes` - ask for echoes, trace a path and stream in one call each.

Routers get their routes in `routes`: `static_routes` - written by hand; `installer` - from one
routing protocol into one router; `routing_messages` - protocols that talk over the wires.

`course_lib.ferry.network` is the network that the workbooks use.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "building": ["Link", "build_network", "links_for_documentation"],
        "event_clock": ["EventClock", "TooManyEventsError"],
        "hosts.host": ["Host"],
        "hosts.tasks": ["EchoRequests", "PathTrace", "Stream"],
        "probes": ["Hop", "StreamReport", "echo_requests", "stream", "trace_path"],
        "records": ["Record", "What", "captured", "mistakes"],
        "routes.routing_messages": ["RoutingMessages"],
        "routes.static_routes": ["dead_ends", "fill_in_routes"],
        "simulation": ["Network"],
        "wires": ["BARE", "ETHERNET", "End", "Framing", "NetworkError", "Traffic", "Wire"],
    },
)
