"""An invented class, to try the whole path on: nobody in it exists."""
