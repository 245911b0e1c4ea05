"""One's own router in a room full of routers: `join_room(code, at=...)`.

* `messages`, `plain_messages` - what the room and its members tell each other, as plain values;
* `sealed_talk` - nobody without the code can read that, or say any of it;
* `student_id` - by what the room knows a student again: a number drawn by lot;
* `piers` - the network at one's own pier, live or simulated;
* `member`, `room_talk` - what a member does, and the line to the room that it does it by;
* `joining`, `room_panel`, `panel_page` - what a workbook calls, and what it shows.

Only with the permission of those who run the network of the room, and only for as long as the room
says. What a site allows on its own lines, its policy and the law say.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach(
    __name__,
    submod_attrs={"joining": ["join_room"]},
)
