"""The same router between kernel hosts.

Read the folders in this order:

* `private_network` - hosts and links of real kernels, which nothing outside sees;
* `packet_sockets` - frames out of the kernel and into it;
* `carrying` - how a process of ours carries frames, and what a line does to them;
* `outer_links` - links that lead out, to routers on other machines;
* `measuring` - echo, path, stream and bulk transfer, asked from a host;
* `speaking_routers` - routers that find their routes by themselves, and a line that is cut;
* `three_ways` - theory, simulator and real kernels, asked the same question.

`ability` says whether this machine can do it; `simulated_network` steps in where it cannot;
`ferry_plans` has the networks that the workbooks use. All that is sent stays in the private
network. Elsewhere, traffic and capture are for the owner of a network to allow, and for the law.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={
        "ability": ["Ability", "live_ability", "live_or_simulated"],
        "carrying.line_settings": ["LineSettings"],
        "carrying.recipes": ["LibraryRecipe", "SourceRecipe"],
        "live_board": ["LiveBoard"],
        "ferry_plans": ["fleet_plan", "pier_plan", "plan_like", "three_router_plan"],
        "outer_links.outer_link": ["OuterAccess", "OuterLink"],
        "outer_links.simulated_member": ["SimulatedMember"],
        "private_network.plan": ["LiveHost", "LiveLink", "LivePlan", "LiveRouter"],
        "private_network.private_network": ["PrivateNetwork"],
        "private_network.refusals": ["NoAbilityError"],
        "private_network.supervised": ["LiveNetworkError"],
        "simulated_network": ["SimulatedNetwork"],
        "speaking_routers.cut_story": ["CutStory", "both_cuts"],
        "three_ways.buffer_ways": ["three_ways_buffer"],
        "three_ways.loss_ways": ["three_ways_loss"],
    },
)
