"""Routers that find out together where everything lies, by messages on the links themselves.

* `message_octets` - the messages of `course_lib.routing` as octets, and back;
* `link_watch` - who is at the other end of a link, and whether still;
* `speaking_router` - a router with a routing protocol in it;
* `cut_story` - a line is cut while a stream flows over it: how long it stalled, live and simulated.
"""
