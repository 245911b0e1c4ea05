"""Laptops of one room, joined into one network: who is whose neighbour, who is there, what flows.

* `pier_names`, `neighbours`, `addresses` - the plan: it stands before anybody joins;
* `seats`, `placing` - whose pier is whose, who is asleep or gone, and what each is told;
* `reported` - what members report, and what it means;
* `room_view`, `screen` - what the screen at the front shows, as plain values, and its page;
* `register` - all of that together: messages and times in, messages out;
* `kept_state` - the small file by which a room that was ended goes on;
* `member_door`, `room_server`, `open_lines`, `board_files` - what comes in from members and
  from the screen;
* `command` - `hopbyhop room`.

Everything but the doors and the server is plain values and times, without a socket and a clock.
"""
