"""Routes: how routers that only know their neighbours find the way to everywhere."""
