"""What pupils get, while a blueprint is being written: the sides of one variant as pictures, and how equal all are."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from chalkpoint.publishing.papers.measures import sheet_for
from chalkpoint.publishing.papers.printing import papers_source, sides_of
from chalkpoint.publishing.typst.compiling import compile_pictures
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.papers import SetPapers
from chalkpoint.setting.report import is_even
from chalkpoint.setting.setter import set_papers
from chalkpoint.setting.slots import Slot
from chalkpoint.web.artefacts import Artefacts
from chalkpoint.web.pagerequest import PageRequest
from chalkpoint.web.searches import Search

__all__ = ["Preview", "begin_preview", "draw_preview", "preview_folder", "previews_of"]

DOTS = 100.0  # an inch, of the pictures


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a question is on a side, in hundredths of the side's height."""

    question: int
    top: float
    height: float


@dataclass(frozen=True, slots=True)
class SideShown:
    """One side: its picture's name, its words, its marks and its questions' places."""

    number: int
    words: str
    marks: int
    spots: tuple[Spot, ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """One line of the strip: a measure, its value in each variant, and those of them that differ from most."""

    name: str
    values: tuple[int | str, ...]
    even: bool


@dataclass(frozen=True, slots=True)
class Preview:
    """What is shown beside the form.

    strips  by question number: what a pupil meets in each variant
    mark    another one for every other preview, so that a browser keeps no old picture
    """

    sides: tuple[SideShown, ...]
    marks: int
    variants: int
    strips: dict[int, tuple[Measured, ...]]
    mark: str

    @property
    def unequal(self) -> tuple[int, ...]:
        """The questions whose variants differ."""
        return tuple(number for number, strip in self.strips.items() if not all(one.even for one in strip))


def previews_of(request: PageRequest) -> Artefacts:
    """Return the previews' own folders, beside those of papers that were set, which they never push out."""
    return Artefacts(request.app.artefacts.root / ".previews")


def preview_folder(request: PageRequest, body: str, variants: int, seed: int, shown: int) -> Path:
    """Return the folder of the pictures of a blueprint's variant, whether or not they are made."""
    return previews_of(request).folder("preview", body, str(variants), str(seed), str(shown))


def begin_preview(request: PageRequest, body: str, variants: int, seed: int, shown: int) -> Search:
    """Return the search that sets the papers and draws variant *shown*; begun now unless it was before."""
    folder = preview_folder(request, body, variants, seed, shown)

    def look(_watch: object) -> Preview:
        return _preview(draw_preview(request, body, variants, seed, shown), shown, folder.name)

    return request.app.searches.begin(f"preview {folder.name}", look)


def draw_preview(request: PageRequest, body: str, variants: int, seed: int, shown: int) -> SetPapers:
    """Return the papers of a blueprint, once the pictures of variant *shown* are in their folder.

    Pictures may have been pushed out by others since a page that shows them was made.
    """
    papers = set_papers(parse_blueprint(body), variants=variants, seed=seed)
    paper = papers.papers[shown - 1]

    def draw(made: Path) -> None:
        made.mkdir()
        for at, data in enumerate(compile_pictures(papers_source(papers, [paper]), DOTS), start=1):
            (made / f"side-{at}.png").write_bytes(data)

    previews_of(request).make(preview_folder(request, body, variants, seed, shown), draw)
    return papers


def _preview(papers: SetPapers, shown: int, mark: str) -> Preview:
    paper = papers.papers[shown - 1]
    sheet = sheet_for(papers.blueprint.printing)
    totals = {item.number: item.scheme.total for item in paper.questions}
    words = {item.number: item.words for item in paper.questions}
    sides = []
    for side in sides_of(papers, paper, sheet):
        spots = []
        for number in dict.fromkeys(one.question for one in side.placed if one.question):
            own = [one for one in side.placed if one.question == number]
            top, end = own[0].y, own[-1].y + own[-1].block.height
            spots.append(Spot(number, 100 * top / sheet.page[1], 100 * (end - top) / sheet.page[1]))
        said = " ".join(f"{spot.question}. {words[spot.question]}" for spot in spots)
        sides.append(
            SideShown(side.number, said, sum(totals[one] for one in side.questions if one), tuple(spots))
        )
    return Preview(tuple(sides), paper.marks, len(papers.papers), _strips(papers), mark)


def _strips(papers: SetPapers) -> dict[int, tuple[Measured, ...]]:
    found = {}
    for item in papers.papers[0].questions:
        chosen = tuple(
            one.candidate for paper in papers for one in paper.questions if one.number == item.number
        )
        asked = next(
            one for one in papers.blueprint.questions if one.operation == item.question.operation.name
        )
        met = Slot(asked, chosen, (), (), {}).met
        found[item.number] = tuple(
            Measured(name, values, is_even(name, values)) for name, values in met.items()
        )
    return found
