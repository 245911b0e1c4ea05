"""Pictures of frames between hosts and routers."""
