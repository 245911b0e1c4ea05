"""Routes in a network: by hand (`static_routes`), or from routing protocols on its wires.

`routing_messages` carries what the protocols say, `installer` writes what they know into routers.
"""
