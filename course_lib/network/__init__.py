"""A network of routers, hosts and wires in which time is counted in events, not waited for.

Read the modules in this order:

* `event_clock` - the time jumps from event to event;
* `wires` - rate, delay, loss and a finite buffer, in each direction;
* `records` - what happened, as one flat list;
* `datagrams`, `pace`, `host_tasks`, `hosts` - the computers at the ends, and what they ask;
* `time_limit`, `careful_calls`, `stations` - routers that somebody is still writing, called with
  care;
* `plan_checks` - mistakes in the addresses, found before anything is sent;
* `simulation` - all of it together;
* `probes` - ping, trace a path and stream in one call each;
* `building`, `static_routes` - a whole network from a list of links, and routes for it;
* `route_installer`, `routing_messages` - routing protocols on the same wires.

`course_lib.ferry_network` is the network that the workbooks use.
"""

__all__ = [
    "BARE",
    "ETHERNET",
    "End",
    "EventClock",
    "Framing",
    "Hop",
    "Host",
    "Link",
    "Network",
    "NetworkError",
    "PathTrace",
    "Ping",
    "Record",
    "RoutingMessages",
    "Stream",
    "StreamReport",
    "TooManyEventsError",
    "Traffic",
    "What",
    "Wire",
    "build_network",
    "captured",
    "dead_ends",
    "fill_in_routes",
    "links_for_documentation",
    "mistakes",
    "ping",
    "stream",
    "trace_path",
]

from course_lib.network.building import Link, build_network, links_for_documentation
from course_lib.network.event_clock import EventClock, TooManyEventsError
from course_lib.network.host_tasks import PathTrace, Ping, Stream
from course_lib.network.hosts import Host
from course_lib.network.probes import Hop, StreamReport, ping, stream, trace_path
from course_lib.network.records import Record, What, captured, mistakes
from course_lib.network.routing_messages import RoutingMessages
from course_lib.network.simulation import Network
from course_lib.network.static_routes import dead_ends, fill_in_routes
from course_lib.network.wires import BARE, ETHERNET, End, Framing, NetworkError, Traffic, Wire
