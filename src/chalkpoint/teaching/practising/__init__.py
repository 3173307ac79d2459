"""Practice, in class or alone: fresh questions at the right fading level, each own line answered.

All of it is pure: a `Practice` is plain data, each act returns the session after it with what is said to it.

begin, write, hint, keep, fill_in, next_one     what a pupil does
question_in, to_write_next                      the question and the line at hand
summary                                         what a pupil keeps, in plain text
PRACTISED, top_level, level_words               what can be practised, and its fading levels
"""
