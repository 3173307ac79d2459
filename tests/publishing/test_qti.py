"""Items for other systems: of the standard's form, whole, and right for the engine's answer and no other.

The form is checked against `qti.rng`, our own grammar of the part of QTI 3.0 (1EdTech, information model and
binding of 2022) that is emitted; names of elements, attributes and resource types are those of the standard.
"""

from __future__ import annotations

import io
import zipfile
from pathlib import Path
from typing import Any

import pytest
from lxml import etree

from chalkpoint.marking.papers import Papers, papers_from
from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.qti import package, spellings
from chalkpoint.setting.blueprint import STARTING, parse_blueprint
from chalkpoint.setting.setter import set_papers
from heron import papers_of

Q = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
P = "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}"
GRAMMAR = Path(__file__).with_name("qti.rng")


@pytest.fixture(scope="module")
def papers() -> Papers:
    """Two variants of four questions."""
    return papers_from(set_papers(parse_blueprint(STARTING), variants=2, seed=7).to_dict())


@pytest.fixture(scope="module")
def files(papers: Papers) -> dict[str, bytes]:
    """The files of their package."""
    with zipfile.ZipFile(io.BytesIO(package(papers))) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def score(item: bytes, response: str) -> float:
    """Return what an item gives for a response, by its own response processing: a small interpreter of it."""
    root: Any = etree.fromstring(item)
    outcomes = {
        one.get("identifier"): float(one.findtext(f"{Q}qti-default-value/{Q}qti-value"))
        for one in root.iter(f"{Q}qti-outcome-declaration")
    }
    declared = {one.get("identifier"): one for one in root.iter(f"{Q}qti-response-declaration")}
    for rule in root.find(f"{Q}qti-response-processing"):
        (expression,) = rule
        assert expression.tag == f"{Q}qti-map-response"
        mapping = declared[expression.get("identifier")].find(f"{Q}qti-mapping")
        entries = {entry.get("map-key").lower(): float(entry.get("mapped-value")) for entry in mapping}
        outcomes[rule.get("identifier")] = entries.get(response.lower(), float(mapping.get("default-value")))
    return outcomes["SCORE"]


def test_every_item_and_test_has_the_form_of_the_standard(files: dict[str, bytes]) -> None:
    """Each is valid by the grammar of the part of QTI 3.0 that is emitted."""
    grammar = etree.RelaxNG(etree.parse(str(GRAMMAR)))
    checked = [name for name in files if name != "imsmanifest.xml"]
    assert len(checked) == 2 + 2 * 4
    for name in checked:
        assert grammar.validate(etree.fromstring(files[name])), (name, grammar.error_log)


def test_every_reference_leads_somewhere(files: dict[str, bytes]) -> None:
    """Every file stands in the manifest and every file of it is there; names are unique; every response is declared."""
    manifest = etree.fromstring(files["imsmanifest.xml"])
    resources = list(manifest.iter(f"{P}resource"))
    names = [one.get("identifier") for one in resources]
    assert len(set(names)) == len(names)
    hrefs = {one.get("href") for one in resources}
    assert hrefs == {one.get("href") for one in manifest.iter(f"{P}file")} == set(files) - {"imsmanifest.xml"}
    assert {one.get("identifierref") for one in manifest.iter(f"{P}dependency")} <= set(names)
    for name, content in files.items():
        root = etree.fromstring(content)
        for one in root.iter(f"{Q}qti-assessment-item-ref"):
            assert one.get("href") in files
        declared = {one.get("identifier") for one in root.iter(f"{Q}qti-response-declaration")}
        asked = {one.get("response-identifier") for one in root.iter(f"{Q}qti-text-entry-interaction")}
        assert asked == declared, name


def test_the_engines_answer_earns_all_marks_in_each_spelling_and_no_other_answer_any(
    papers: Papers, files: dict[str, bytes]
) -> None:
    """By the item's own processing; the answer is worked here anew, by the other road of the package's face."""
    import chalkpoint as cp

    for paper in papers.variants.values():
        for asked in paper.questions:
            working = cp.work_question(asked.question)
            item = files[f"items/v{paper.variant}-q{asked.number}.xml"]
            answer = working.result.bits or working.outcome
            if asked.question.operation.name == "decode":
                from chalkpoint.numbers.exact import write_value

                assert working.result.value is not None
                answer = write_value(working.result.value)
            for spelling in spellings(asked.question, answer):
                assert score(item, spelling) == asked.marks
            for other in ("", "0", "01111111 0111", answer[:-1], f"{answer}0"):
                assert score(item, other) == 0


def test_the_same_papers_give_the_same_bytes(papers: Papers) -> None:
    """No date and no order of chance is in the package."""
    assert package(papers) == package(papers)


def test_a_word_is_taken_in_any_letters() -> None:
    """Overflow is a word, not a pattern."""
    papers = papers_of(("multiply", "120", "100"))
    with zipfile.ZipFile(io.BytesIO(package(papers))) as packed:
        item = packed.read("items/v1-q1.xml")
    assert score(item, "Overflow") == papers.first.questions[0].marks


def test_papers_without_final_answers_are_refused() -> None:
    """One sentence says why."""
    with pytest.raises(EntryError, match="no question with one final answer"):
        package(papers_of(("range",)))
