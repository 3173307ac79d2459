"""What finding costs: the atlas from nothing and from the cache, beside brute force and rejection in arrays.

Run: python benchmarks/find.py [--beliefs] [--plot docs/find-cost.svg]
Every ratio is of two figures taken in this one run. Times are of the processor, but for the whole command.
"""

import argparse
import os
import random
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

from chalkpoint.finding.atlas import Atlas, sheets_of
from chalkpoint.finding.brute import Brute
from chalkpoint.finding.registry import trait_named, traits_of
from chalkpoint.finding.rejection import RandomPairs
from chalkpoint.finding.request import Term, parse_term
from chalkpoint.finding.selection import Selection
from chalkpoint.finding.traits.believing import beliefs_of
from chalkpoint.working.course import Course

LARGE, SMALL = Course(format="24+8"), Course(format="8+4")
ONE = ("representable-but-wrong",)
FIVE = ("align-shift = 2", "lost-ones = 1", "carry-dropped", "not exact-result", "at-most-d-places <= 3")
REQUESTS = {
    "common": ("carry-dropped",),
    "rare": ("align-shift = 5", "lost-ones = 5", "norm-shift >= 1", "carry-dropped", "sign-pattern = ++"),
    "impossible": ("align-shift = 2", "lost-ones >= 3"),
}
FIRST_BATCH, BATCH, MOST_DRAWN = 1 << 13, 1 << 20, 1 << 24


def terms_of(texts: Sequence[str]) -> list[Term]:
    """Return the terms of a request about subtracting."""
    return [parse_term(text, lambda name: trait_named(name, "subtract")) for text in texts]


def seconds(job: Callable[[], object], runs: int = 1) -> float:
    """Return the least processor time of *job*."""
    taken = []
    for _ in range(runs):
        start = time.process_time()
        job()
        taken.append(time.process_time() - start)
    return min(taken)


def fresh_cache() -> Path:
    """Point the cache at an empty folder."""
    folder = Path(tempfile.mkdtemp(prefix="chalkpoint-"))
    os.environ["CHALKPOINT_CACHE"] = str(folder)
    return folder


def from_nothing(course: Course, texts: Sequence[str]) -> Callable[[], int]:
    """Return the job that counts a request with nothing in the cache or in memory."""

    def job() -> int:
        fresh_cache()
        return Selection(Atlas("subtract", course), terms_of(texts)).count

    return job


def whole_atlas(course: Course) -> list[Term]:
    """Return one condition on every trait that has a diagram."""
    texts = []
    for trait in traits_of("subtract").values():
        if not trait.widest:
            continue  # looked at question by question, never in a diagram
        if trait.kind == "yes or no":
            texts.append(trait.name)
        elif trait.kind == "choice":
            texts.append(f"{trait.name} = {trait.choices[0]}")
        else:
            texts += trait.examples or [f"{trait.name} >= 1"]
    return terms_of(texts)


def peak_memory() -> str:
    """Return the most memory this process has had, where the system tells."""
    try:
        import resource
    except ImportError:
        return "not told by this system"
    return f"{resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB with the interpreter"


def show(what: str, figure: str) -> None:
    """Print one figure."""
    print(f"{what:66} {figure}", flush=True)


def show_atlas() -> None:
    """The atlas of 24+8 from nothing, and what is on disk afterwards."""
    folder = fresh_cache()
    atlas, terms = Atlas("subtract", LARGE), whole_atlas(LARGE)
    took = seconds(lambda: atlas.prepare([sheet for term in terms for sheet in sheets_of(term)]))
    loose = [term.text for term in terms if atlas.does_not_fit(term)]
    size = sum(path.stat().st_size for path in folder.iterdir())
    show(f"24+8 from nothing: every trait ({len(terms)} conditions), s", f"{took:.2f}")
    show("  of which do not fit", ", ".join(loose) or "none")
    show("  peak memory", peak_memory())
    show("  cache, MB", f"{size / 1e6:.2f}")


def show_cached() -> None:
    """Requests answered from the cache of 24+8."""
    five = terms_of(FIVE)
    Selection(Atlas("subtract", LARGE), five).count  # noqa: B018 - fills the cache
    took = seconds(lambda: Selection(Atlas("subtract", LARGE), five).count, 5)
    show("24+8 from the cache: five traits counted, ms", f"{1e3 * took:.0f}")
    for name, terms in (("2^62", []), ("five traits", five)):
        selection = Selection(Atlas("subtract", LARGE), terms)
        rng = random.Random(1)
        numbers = [rng.randrange(selection.count) for _ in range(1000)]
        drawing = seconds(lambda s=selection, n=numbers: s.pairs(n), 5)  # type: ignore[misc]
        ranking = seconds(lambda s=selection: s.simplest(20), 5)  # type: ignore[misc]
        show(f"  1,000 draws of {name}, ms", f"{1e3 * drawing:.1f}")
        show(f"  the 20 simplest of {name}, ms", f"{1e3 * ranking:.1f}")


def show_command() -> None:
    """The whole command, warm."""
    words = [sys.executable, "-m", "chalkpoint", "find", "subtract", "--format", "24+8", "--count"]
    for text in FIVE:
        words += ["--where", text]
    taken = []
    for _ in range(4):
        start = time.perf_counter()
        subprocess.run(words, check=True, capture_output=True)
        taken.append(time.perf_counter() - start)
    show("the whole command, warm, five traits of 24+8, s of the clock", f"{min(taken[1:]):.2f}")


def reject(course: Course, terms: Sequence[Term], wanted: int) -> tuple[int, int]:
    """Draw pairs in lanes until *wanted* meet *terms*, or too many were drawn; return (met, drawn)."""
    rng = random.Random(1)
    met = drawn = 0
    batch = FIRST_BATCH
    while met < wanted and drawn < MOST_DRAWN:
        pairs = RandomPairs(course, batch, rng)
        met, drawn = met + pairs.meeting("subtract", terms).bit_count(), drawn + batch
        batch = min(2 * batch, BATCH)
    return met, drawn


def show_beside_lanes() -> None:
    """The same requests by diagrams, by brute force and by rejection."""
    print("\n1,000 draws (or the proof that there are none), cold, s:")
    for course in (SMALL, LARGE):
        for name, texts in REQUESTS.items():
            terms = terms_of(texts)

            def diagrams(course: Course = course, terms: list[Term] = terms) -> None:
                fresh_cache()
                selection = Selection(Atlas("subtract", course), terms)
                rng = random.Random(1)
                if selection.count:
                    selection.pairs([rng.randrange(selection.count) for _ in range(1000)])

            taken = seconds(diagrams)
            found: list[tuple[int, int]] = []
            drawing = seconds(lambda c=course, t=terms, f=found: f.append(reject(c, t, 1000)))  # type: ignore[misc]
            met, drawn = found[0]
            line = f"diagrams {taken:.3f}; rejection {drawing:.3f} ({met:,} of {drawn:,} drawn)"
            if course is SMALL:
                brute = seconds(lambda t=terms: Brute("subtract", SMALL, t).count)  # type: ignore[misc]
                line += f"; brute force {brute:.3f}; brute force / diagrams {brute / taken:.1f}"
            show(f"  {course.format} {name}: {' and '.join(texts)}"[:66], line)
            show(
                "",
                f"rejection / diagrams {drawing / taken:.2f}"
                + ("" if met >= 1000 else ", and it did not finish"),
            )


def show_beliefs() -> None:
    """What `exposes:` adds at 24+8, belief by belief."""
    print("\n24+8, exposes: belief by belief (s from nothing, whether a diagram fits):")
    for belief in beliefs_of("subtract"):
        fresh_cache()
        (term,) = terms_of([f"exposes:{belief}"])
        atlas = Atlas("subtract", LARGE)
        fits: list[bool] = []
        took = seconds(lambda a=atlas, t=term, f=fits: f.append(not a.does_not_fit(t)))  # type: ignore[misc]
        show(f"  {term.text}", f"{took:.2f} {'fits' if fits[0] else 'does not fit: drawn and estimated'}")


def plot(path: Path) -> None:
    """Draw what one trait costs from nothing against the bits of a question."""
    import matplotlib as mpl

    mpl.use("svg")
    mpl.rcParams["svg.hashsalt"] = "chalkpoint"
    from matplotlib import pyplot as plt

    sizes = ["4+4", "5+4", "6+4", "8+4", "10+5", "12+6", "16+6", "20+7", "24+8", "28+8", "32+8"]
    bits, diagrams = [], []
    for size in sizes:
        course = Course(format=size)
        bits.append(2 * (course.number_format.bits - 1))
        diagrams.append(seconds(from_nothing(course, ONE)))
    small = ["4+4", "5+4", "6+4", "7+4", "8+4"]
    brute = [
        seconds(lambda s=size: Brute("subtract", Course(format=s), terms_of(ONE)).count) for size in small
    ]  # type: ignore[misc]
    figure, axes = plt.subplots(figsize=(7, 4.2))
    axes.semilogy(bits, diagrams, "o-", color="#1a1a1a", label="diagrams, from nothing")
    brute_bits = [2 * (Course(format=size).number_format.bits - 1) for size in small]
    axes.semilogy(brute_bits, brute, "s--", color="#8a4b00", label="brute force in lanes")
    for x, y, size in zip(bits, diagrams, sizes, strict=True):
        axes.annotate(size, (x, y), textcoords="offset points", xytext=(0, -14), ha="center", fontsize=8)
    axes.set_xlabel("bits of a question (the space holds 2 to that power)")
    axes.set_ylabel("seconds of one processor")
    axes.set_title('Counting "representable-but-wrong" for subtract, from nothing')
    axes.grid(visible=True, which="major", alpha=0.3)
    axes.legend(frameon=False)
    figure.tight_layout()
    figure.savefig(path, metadata={"Date": None})
    print(f"Written: {path}")


def main() -> None:
    """Print every figure."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--beliefs", action="store_true")
    parser.add_argument("--plot", type=Path)
    asked = parser.parse_args()
    one = seconds(from_nothing(LARGE, ONE), 2)
    show("24+8 from nothing: representable-but-wrong counted, s", f"{one:.2f}")
    show(
        "8+4 from nothing: representable-but-wrong counted, s", f"{seconds(from_nothing(SMALL, ONE), 2):.2f}"
    )
    show_atlas()
    show_cached()
    show_command()
    show_beside_lanes()
    if asked.beliefs:
        show_beliefs()
    if asked.plot:
        plot(asked.plot)


if __name__ == "__main__":
    main()
