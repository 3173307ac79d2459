"""What the whole of setting, marking, finding and starting costs beside an earlier commit, in one run.

Run: python benchmarks/before.py COMMIT [--rounds N]
The commit's source is unpacked beside this one's, and each job is run in both in turn, in a process of its own;
every figure is the least processor time of its rounds, and what is compared are ratios. Both trees make what is
kept on disk before anything is timed. What a whole command costs beside Python alone is of whole processes, their
ends included.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import resource
import subprocess
import sys
import tarfile
import tempfile
from pathlib import Path

import marking
import setting

TOP = Path(__file__).resolve().parent.parent
SCRIPTS = 1500  # of final answers; the later half of them is timed, when what a set shares has been worked

CLOCK = "import sys, time\n"
PLACE = "from pathlib import Path\nfolder = Path(sys.argv[1])\n"
#: Each job prints the seconds it took; they run in trees whose modules had other names.
JOBS = {
    "set: 30 variants chosen": PLACE
    + """
from chalkpoint.setting.setter import set_papers
set_papers(folder / "paper.toml", variants=1, seed=7)
start = time.process_time()
set_papers(folder / "paper.toml", variants=30, seed=7)
print(time.process_time() - start)
""",
    "set: the whole command": PLACE
    + """
import os, tempfile
os.chdir(tempfile.mkdtemp())
from chalkpoint.cli import main
try:
    main(["set", str(folder / "paper.toml"), "--variants", "30", "--seed", "7", "--out", "papers"])
except SystemExit:
    print(time.process_time(), file=sys.stderr)
""",
    "mark: 30 pupils, 10 questions with lines": PLACE
    + """
import os, tempfile
os.chdir(tempfile.mkdtemp())
from chalkpoint.cli import main
try:
    main(["mark", str(folder / "papers.json"), str(folder / "lines.csv"), "--out", "marks"])
except SystemExit:
    print(time.process_time(), file=sys.stderr)
""",
    "mark: final answers": PLACE
    + f"""
from itertools import islice
try:
    from chalkpoint.marking.answerfiles import read_answers
except ImportError:
    from chalkpoint.marking.answers import read_answers
from chalkpoint.marking.answers import scripts
from chalkpoint.marking.classes import mark_scripts
try:
    from chalkpoint.setting.paperfile import read_papers
except ImportError:
    from chalkpoint.marking.papers import read_papers
papers = read_papers(folder / "papers.json")
entries = mark_scripts(papers, scripts(read_answers(folder / "final.csv"), papers))
first = sum(1 for _ in islice(entries, {SCRIPTS // 2}))
start = time.process_time()
rest = sum(1 for _ in entries)
print(time.process_time() - start)
""",
    "find: the atlas of 24+8": PLACE
    + """
sys.path.insert(0, str(Path(sys.argv[2]) / "benchmarks"))
import find
from chalkpoint.finding.atlas import Atlas, sheets_of
find.fresh_cache()
atlas, terms = Atlas("subtract", find.LARGE), find.whole_atlas(find.LARGE)
start = time.process_time()
atlas.prepare([sheet for term in terms for sheet in sheets_of(term)])
print(time.process_time() - start)
""",
    "simulated classes: one cell": PLACE
    + """
sys.path.insert(0, str(Path(sys.argv[2]) / "benchmarks"))
import simulated_classes
simulated_classes.diagnoser()
start = time.process_time()
simulated_classes.cell("random", 8, 0.08, [1, 2, 3])
print(time.process_time() - start)
""",
    "work: the whole command": """
from chalkpoint.cli import main
try:
    main(["work", "subtract", "6.5", "1.25"])
except SystemExit:
    print(time.process_time(), file=sys.stderr)
""",
    "import of the engine": """
import chalkpoint.working.work
print(time.process_time())
""",
}


def unpack(commit: str, folder: Path) -> Path:
    """Return where the source of *commit* was unpacked."""
    words = ["git", "archive", commit]
    packed = subprocess.run(words, cwd=TOP, check=True, capture_output=True).stdout
    with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
        archive.extractall(folder, filter="data")
    return folder


def prepare(folder: Path) -> None:
    """Write a blueprint, papers, and two files of answers to them."""
    (folder / "paper.toml").write_text(setting.BLUEPRINT, encoding="utf-8")
    table = marking.papers_object(marking.VARIANTS)
    papers = marking.papers_from(table)
    (folder / "papers.json").write_text(json.dumps(table), encoding="utf-8")
    for name, rows in (
        ("lines.csv", marking.lines(papers, marking.PUPILS)),
        ("final.csv", marking.final_answers(papers, SCRIPTS)),
    ):
        with (folder / name).open("w", encoding="utf-8", newline="") as file:
            marking.csv.writer(file).writerows(rows)


def seconds(job: str, tree: Path, folder: Path) -> float:
    """Return the processor time that *job* says it took in *tree*."""
    done = run(CLOCK + job, tree, folder)
    return float((done.stderr or done.stdout).split()[-1])


def whole_seconds(code: str, folder: Path) -> float:
    """Return the processor time of a whole process that runs *code* here, from its start to its end."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    run(code, TOP, folder)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def run(code: str, tree: Path, folder: Path) -> subprocess.CompletedProcess[str]:
    """Run *code* in *tree*, in a process of its own."""
    own = {"PYTHONPATH": str(tree / "src"), "XDG_CACHE_HOME": str(folder / f"cache-{tree.name}")}
    own["PYTHONPYCACHEPREFIX"] = own["XDG_CACHE_HOME"]
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    words = [sys.executable, "-c", code, str(folder), str(tree)]
    return subprocess.run(words, env=kept | own, check=True, capture_output=True, text=True)


def main() -> None:
    """Print each job's time in both trees and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("commit")
    parser.add_argument("--rounds", type=int, default=2)
    parser.add_argument("--only", default="", help="jobs whose name begins so")
    words = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        prepare(folder)
        before = unpack(words.commit, folder / "before")
        for what, job in JOBS.items():
            if not what.startswith(words.only):
                continue
            pairs = [
                (seconds(job, before, folder), seconds(job, TOP, folder)) for _ in range(words.rounds + 1)
            ]
            old, new = map(min, zip(*pairs[1:], strict=True))
            print(f"{what:42} {old:7.3f} s before, {new:7.3f} s now: {old / new:5.2f} times", flush=True)
        alone = min(whole_seconds("pass", folder) for _ in range(words.rounds + 3))
        for what in ("work: the whole command", "import of the engine"):
            new = min(whole_seconds(CLOCK + JOBS[what], folder) for _ in range(words.rounds + 3))
            print(f"{what:42} {new / alone:5.1f} times python -c pass")


if __name__ == "__main__":
    main()
