"""Draw lines of packets: how long they wait, and why."""
