"""A school's own writing: the crops of what a teacher looked at, with what was said of each, and nothing more."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from learning import together
from own import own_crops
from recipe import own_example

from chalkpoint.scanning.folder import Folder
from chalkpoint.scanning.pages import Flat, flat_page
from chalkpoint.scanning.pictures import sources_in
from chalkpoint.scanning.reading import read_stack
from chalkpoint.scanning.stack import BLANK
from chalkpoint.scanning.vision import cv2
from stacks import TRUTH, Class


def test_reviewed_boxes_become_what_is_learned_from(heron: Class, tmp_path: Path) -> None:
    """Only boxes that were looked at; each as the reader saw it, with the teacher's word and the tone of its page."""
    kept, papers = Folder(tmp_path / "read"), heron.folder / "set" / "papers.json"
    stack = read_stack(sources_in(heron.stack[-1:]), heron.printed, keep=kept.keep)
    truth = heron.truth[stack.pages[0].code].truth
    looked = [place for place in stack.places.values() if place.kind == "bit"][:12]
    words = [TRUTH[truth[place.box]] for place in looked[:10]] + ["crossed", "?"]
    for place, word in zip(looked, words, strict=True):
        place.said = word
    kept.save(stack)

    assert own_crops(kept.path, papers, tmp_path / "own") == 12
    (own,) = own_example(tmp_path / "own")
    assert own.label.tolist() == [{"0": 0, "1": 1, BLANK: 2, "crossed": 5, "?": 5}[word] for word in words]
    seen = flat_page(cv2.imread(str(heron.stack[-1]), cv2.IMREAD_GRAYSCALE), heron.printed)
    assert isinstance(seen, Flat)
    as_read = seen.crops[[seen.boxes.index(place.box) for place in looked]]
    assert own.x.shape == as_read.shape
    assert abs(own.x.astype(int) - as_read).mean() < 3  # the page was kept as a JPEG in between
    assert abs(own.tone - seen.tone).max() < 0.02

    both = together([own, replace(own, weight=own.weight * 0)])
    assert len(both.x) == 24
    assert both.weight.tolist() == [2] * 12 + [0] * 12
