"""Right answers that three people wrote apart from the course, each in a way of their own.

`unit_NN_loops.py` goes step by step, `unit_NN_tools.py` reaches for the standard library,
`unit_NN_pieces.py` cuts everything into small pieces. Nobody looked at the library, the
model answers, or each other. No list of likenesses may name one of them.
"""
