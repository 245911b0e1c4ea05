"""The same question asked three ways: of theory, of the simulator, and of real kernels.

* `points` - what comes out, as values; how far the ways lie apart;
* `lanes` - many pairs of kernel hosts, each with a line of its own, that send at the same time;
* `buffer_ways` - what a buffer buys and costs; `loss_ways` - what loss costs.
"""
