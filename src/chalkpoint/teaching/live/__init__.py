"""A live class, without a network: what the teacher does goes in, what the class sees comes out.

All of it is pure: a `Room` is plain data, each act returns the room after it, and a tally is made from
whatever lines are handed in. Who keeps rooms and lines, and how they travel, is for other rooms of the house.

open_room, open_round, close_round, reopen_round, reveal      a line (or the answer) is put to the class
go_on, follow, go_back, next_question                         what comes next
ask_hinge, parse_letters                                      four answers on letter cards, a typed count
check_line, gather                                            a pupil's line, as it is to be kept, or a refusal
tally, tally_of                                               the class's lines side by side
question_of, to_write, read_seat                              what is asked, what is left to write, a seat
new_word, read_word, new_slips                                how pupils come in
room_to_dict, room_from_dict                                  chalkpoint.room/1
"""

from chalkpoint.teaching.board import Kept
from chalkpoint.teaching.judged import Judged, Thought
from chalkpoint.teaching.live.letters import parse_letters
from chalkpoint.teaching.live.room import (
    LETTERS,
    Room,
    Round,
    ask_hinge,
    close_round,
    follow,
    go_back,
    go_on,
    next_question,
    open_room,
    open_round,
    question_of,
    read_seat,
    reopen_round,
    reveal,
    to_write,
)
from chalkpoint.teaching.live.roomjson import room_from_dict, room_to_dict
from chalkpoint.teaching.live.slips import Slip, new_slips
from chalkpoint.teaching.live.tally import Tally, TallyLine, check_line, gather, tally, tally_of
from chalkpoint.teaching.live.words import new_word, read_word

__all__ = [
    "LETTERS",
    "Judged",
    "Kept",
    "Room",
    "Round",
    "Slip",
    "Tally",
    "TallyLine",
    "Thought",
    "ask_hinge",
    "check_line",
    "close_round",
    "follow",
    "gather",
    "go_back",
    "go_on",
    "new_slips",
    "new_word",
    "next_question",
    "open_room",
    "open_round",
    "parse_letters",
    "question_of",
    "read_seat",
    "read_word",
    "reopen_round",
    "reveal",
    "room_from_dict",
    "room_to_dict",
    "tally",
    "tally_of",
    "to_write",
]
