"""Twelve strangers try to stop a class: they ask for the costliest pages that anyone may, without a pause.

    python benchmarks/strangers.py                 twelve strangers, ten seconds, one process on SQLite
    python benchmarks/strangers.py --strangers 50 --seconds 30

Meanwhile one pupil sends a line, and one teacher opens a page, twice a second. Told are how long both waited, alone and
under attack, and what the strangers were answered. It fails where the pupil or the teacher ever waits more than
two seconds, or anything is answered with a fault.
"""

from __future__ import annotations

import argparse
import asyncio
import random
import sys
import time
from collections import Counter
from pathlib import Path

import httpx2

sys.path.insert(0, str(Path(__file__).parent))
from live_class import come_in, open_lesson, print_times, serving

PAUSE = 0.5  # seconds between two lines of the pupil
PATIENCE = 2.0  # seconds that nobody in class may wait
COSTLY = (
    "/practice?format=64%2B16",
    "/practice?operation=subtract&format=12%2B4&level=3&seed={seed}" + "&act=h" * 40,
    "/practice?operation=encode&format=10%2B6&seed={seed}" + "&act=n" * 80,
    "/sign-in",
    "/room",
    "/find?operation=subtract&where=lost-ones+%3E%3D+2",
    "/{seed}",
)


async def attack(address: str, until: float, answered: Counter[int], seed: int) -> None:
    """Ask for one costly page after another, and hang up now and then."""
    rng = random.Random(seed)
    async with httpx2.AsyncClient(base_url=address, timeout=60) as client:
        while time.monotonic() < until:
            page = rng.choice(COSTLY).format(seed=rng.randrange(10**6))
            try:
                if rng.random() < 0.2:
                    await asyncio.wait_for(client.get(page), rng.uniform(0.01, 0.3))
                    continue
                answered[(await client.get(page)).status_code] += 1
            except (TimeoutError, httpx2.TransportError):
                answered[0] += 1
            if rng.random() < 0.2:
                form = {"name": "teacher", "password": "guess", "door": "x"}
                answered[
                    (await client.post("/sign-in", data=form, headers={"origin": address})).status_code
                ] += 1


async def learn(port: int, until: float) -> tuple[list[float], list[float]]:
    """Send lines and open pages as a class does; return how long each took."""
    gate = asyncio.Semaphore(1)
    lesson = await open_lesson(port, 2)
    await come_in(lesson, 1, gate)
    (pupil, token), teacher = lesson.pupils[0], lesson.teacher
    lines: list[float] = []
    pages: list[float] = []
    while time.monotonic() < until:
        for asking, times in (
            (pupil.ask("/room/seat/line", {"token": token, "round": "1", "line": "00011101"}), lines),
            (teacher.ask(lesson.room), pages),
        ):
            began = time.perf_counter()
            status, _, _ = await asking
            assert status == 200, status
            times.append(time.perf_counter() - began)
        await asyncio.sleep(PAUSE)
    return lines, pages


async def run(port: int, strangers: int, seconds: float) -> bool:
    """Hold a class alone, then under attack; print the figures, and tell whether nobody waited too long."""
    alone = await learn(port, time.monotonic() + min(seconds, 5))
    answered: Counter[int] = Counter()
    until = time.monotonic() + seconds
    attacking = [
        asyncio.create_task(attack(f"http://127.0.0.1:{port}", until, answered, seed))
        for seed in range(strangers)
    ]
    attacked = await learn(port, until)
    await asyncio.gather(*attacking)
    for when, (lines, pages) in (("alone", alone), ("attacked", attacked)):
        print(when)
        print_times("line", lines)
        print_times("page", pages)
    said = ", ".join(f"{status or 'hung up'}: {count}" for status, count in sorted(answered.items()))
    print(f"{strangers} strangers for {seconds:.0f} s were answered: {said}")
    faults = [status for status in answered if status >= 500 and status != 503]
    return max(*attacked[0], *attacked[1]) < PATIENCE and not faults


def main() -> None:
    """Start a server, attack it, stop it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--strangers", type=int, default=12)
    parser.add_argument("--seconds", type=float, default=10)
    asked = parser.parse_args()
    with serving(None, 1) as (port, _):
        held = asyncio.run(run(port, asked.strangers, asked.seconds))
    print("The class went on." if held else "The class was held up.")
    sys.exit(not held)


if __name__ == "__main__":
    main()
