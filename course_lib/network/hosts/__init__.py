"""The computers at the ends of the network: what they answer, ask and send.

`host` is the computer, `tasks` holds what it does of its own accord, and `pace` when. How that
looks on the wire stands in `course_lib.ip.datagrams`.
"""
