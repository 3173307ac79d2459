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
