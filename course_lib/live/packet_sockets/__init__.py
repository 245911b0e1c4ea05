"""Frames out of the kernel, with its stamps (`packet_ring`), and back into it (`packet_sender`)."""
