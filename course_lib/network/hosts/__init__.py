"""The computers at the ends of the network: what they answer, ask and send.

`host` is the computer, `tasks` holds what it does of its own accord, `pace` when, and `datagrams`
how that looks on the wire.
"""
