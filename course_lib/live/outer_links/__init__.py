"""Links that lead out of a private network, to routers on other machines.

* `outer_link` - how a plan names one, and what it needs from outside;
* `link_card` - a link in the place of a network card, for the loop that carries frames;
* `simulated_member` - the same plan where there are no private networks.
"""
