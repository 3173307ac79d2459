"""How long a live class and a practice session take to answer, in milliseconds of processor time.

Run: python benchmarks/live.py
"""

import random
import statistics
import time
from collections.abc import Callable, Sequence
from functools import partial

from chalkpoint.teaching.judged import judge_line
from chalkpoint.teaching.live.room import Room, open_room, open_round, to_write
from chalkpoint.teaching.live.roomjson import room_from_dict, room_to_dict
from chalkpoint.teaching.live.tally import check_line, tally
from chalkpoint.teaching.practising.session import Practice, begin, hint, next_one, to_write_next, write
from chalkpoint.working.course import Course

PUPILS, DISTINCT = 300, 12
SESSIONS, QUESTIONS = 20, 4
AGAIN = 50
CLASSES = (("8+4", "answer"), ("8+4", "negate"), ("16+8", "answer"), ("24+8", "answer"), ("24+8", "negate"))
PRACTISED = (("subtract", "8+4"), ("decode", "8+4"), ("encode", "8+4"), ("subtract", "16+8"))


def milliseconds(job: Callable[[], object]) -> float:
    """Return the processor time of *job*."""
    start = time.process_time()
    job()
    return (time.process_time() - start) * 1000


def show(name: str, taken: Sequence[float]) -> None:
    """Print the median and the longest."""
    print(f"{name:<52} median {statistics.median(taken):7.2f} ms   longest {max(taken):7.2f} ms")


def near(rng: random.Random, written: str) -> str:
    """Return *written* with up to three of its bits changed."""
    bits = list(written)
    places = [at for at, sign in enumerate(bits) if sign in "01"]
    for at in rng.sample(places, min(len(places), rng.randint(1, 3))):
        bits[at] = "1" if bits[at] == "0" else "0"
    return "".join(bits)


def time_class(spelling: str, rule: str) -> None:
    """Time a class of 300 on an answer or a line of working."""
    rng = random.Random(5)
    room = open_round(open_room(["subtract 8.875, 3.6875"], course=Course(format=spelling)), rule)
    right = next(line.expects for line in to_write(room) if line.rule == rule).partition(" ×")[0]
    distinct = [right, *(near(rng, right) for _ in range(DISTINCT - 1))]
    lines = {seat: distinct[seat % DISTINCT] for seat in range(1, PUPILS + 1)}
    show(
        f"{spelling} {rule}: a line taken",
        [milliseconds(partial(check_line, room, 1, text)) for text in distinct],
    )
    judge_line.cache_clear()
    show(
        f"{spelling} {rule}: a distinct line judged",
        [milliseconds(partial(judge, room, text)) for text in distinct],
    )
    judge_line.cache_clear()
    counted = partial(tally, room, lines)
    show(f"{spelling} {rule}: tally of {PUPILS}, {DISTINCT} lines, first", [milliseconds(counted)])
    show(f"{spelling} {rule}: tally of {PUPILS} again", [milliseconds(counted) for _ in range(AGAIN)])
    kept = partial(lambda: room_from_dict(room_to_dict(room)))
    show(f"{spelling} {rule}: a room to data and back", [milliseconds(kept) for _ in range(AGAIN)])


def judge(room: Room, text: str) -> None:
    """Judge one line of the round of *room*."""
    assert room.round is not None
    judge_line(room.course, room.asked, (), room.round.rule, text)


def time_practice(operation: str, spelling: str) -> None:
    """Time the acts of practice: sessions with a wrong line, a right one and a hint on each line."""
    course = Course(format=spelling)
    taken: dict[str, list[float]] = {}
    for seed in range(SESSIONS):
        session = timed(taken, "begin", partial(begin, operation, course=course, seed=seed, level=1))
        for _ in range(QUESTIONS):
            session = time_question(taken, session, random.Random(seed))
    for name, times in taken.items():
        show(f"{spelling} {operation}: {name}", times)


def timed(taken: dict[str, list[float]], name: str, act: Callable[[], Practice]) -> Practice:
    """Return the session after *act*, its time noted under *name*."""
    start = time.process_time()
    session = act()
    taken.setdefault(name, []).append((time.process_time() - start) * 1000)
    return session


def time_question(taken: dict[str, list[float]], session: Practice, rng: random.Random) -> Practice:
    """Return the session after one question, every act timed."""
    while (line := to_write_next(session)) is not None:
        session = timed(taken, "hint", partial(hint, session))
        session = timed(taken, "a line near the right one", partial(write, session, near(rng, line.expects)))
        if to_write_next(session) == line:
            session = timed(taken, "the right line", partial(write, session, line.expects))
    name = "next, a counter-example" if session.shown else "next"
    return timed(taken, name, partial(next_one, session))


def main() -> None:
    """Print every figure."""
    for spelling, rule in CLASSES:
        time_class(spelling, rule)
    for operation, spelling in PRACTISED:
        time_practice(operation, spelling)


if __name__ == "__main__":
    main()
