"""What carries real frames: lines, the router between them, and the loop.

Read the modules in this order:

* `line_settings`, `line` - one direction of a line, on a clock of its own: no sockets, no waiting;
* `recipes`, `own_source` - how a router is made inside its own process;
* `careful_router` - a router that somebody is still writing, called with care;
* `burst_path` - the library's stages for many frames at once;
* `ports`, `packet_loop`, `running_router` - all of it together, around the packet sockets;
* `followed_packet` - one real packet, written down stage by stage;
* `control_channel`, `steered_port`, `endings` - what is asked of a router process, and how it ends.
"""
