"""Routes in a network: by hand, or from routing protocols on its wires."""
