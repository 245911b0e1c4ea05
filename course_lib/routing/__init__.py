"""Routing: how routers find out together where every destination lies.

Read the modules in this order:

* `protocol` - what every routing protocol here looks like from outside;
* `distance_vector_messages`, `distance_vector` - neighbours tell each other their distances
  (RFC 2453);
* `shortest_path_tree` - all cheapest paths on a map of the network (RFC 2328, section 16.1);
* `neighbour_discovery`, `advertisements`, `flooding`, `link_state` - every router draws that map
  for itself (RFC 2328);
* `routing_table` - one choice among several sources of routes (RFC 1812, section 5.2.4.3);
* `mirror` - the choice copied into the forwarding table while packets go on being looked up;
* `loops` - do the decisions of all routers fit together?

A protocol does nothing of its own accord: it is told the time and what has arrived, and answers
with messages to send. Given to `course_lib.network.RoutingMessages`, it talks to others over wires;
the example there shows two routers that count to infinity.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "distance_vector": ["DistanceVector"],
        "distance_vector_messages": ["RouteEntry", "Update"],
        "link_state": ["LinkState"],
        "shortest_path_tree": ["shortest_paths"],
        "routing_table": ["RoutingTable"],
        "mirror": ["Mirror"],
        "loops": ["find_loop", "routers_that_deliver"],
        "protocol": ["Destination", "NextHop", "Route", "link_between"],
    },
)
