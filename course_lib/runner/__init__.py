"""Run what somebody wrote, in a process of its own; all of the library that a sandbox must show."""
