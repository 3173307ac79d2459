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

import chalkpoint as cp
from chalkpoint.marking.marks import mark_question
from chalkpoint.numbers.errors import EntryError
from chalkpoint.numbers.exact import write_decimal
from chalkpoint.publishing.qti import has_items, package, spellings
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.fairness import judge
from chalkpoint.setting.paperfile import papers_from
from chalkpoint.setting.papers import Papers
from chalkpoint.setting.setter import set_papers

Q = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
P = "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}"
GRAMMAR = Path(__file__).with_name("qti.rng")


BLUEPRINT = """\
title = "Gauge readings"
methods = "list the answers"
accidental = "needs working"

[course]
format = "8+4"
accepts = ["negate-then-align"]

[[question]]
operation = "decode"
where = ["sign-pattern = -"]

[[question]]
operation = "encode"
where = ["sign-pattern = -"]

[[question]]
operation = "subtract"
where = ["lost-ones = 1"]
context = true

[[question]]
operation = "multiply"

[[question]]
operation = "error"
"""


@pytest.fixture(scope="module")
def table() -> dict[str, Any]:
    """Two variants of five questions, one of which has no single answer."""
    return set_papers(parse_blueprint(BLUEPRINT), variants=2, seed=7).to_dict()


@pytest.fixture(scope="module")
def papers(table: dict[str, Any]) -> Papers:
    """The papers, read."""
    return papers_from(table)


@pytest.fixture(scope="module")
def files(table: dict[str, Any]) -> dict[str, bytes]:
    """The files of their package."""
    with zipfile.ZipFile(io.BytesIO(package(table))) as packed:
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


def test_an_item_gives_what_marking_gives_for_the_answer_alone(
    papers: Papers, files: dict[str, bytes]
) -> None:
    """In every spelling: the course's answer, an accepted method's, and whatever any known belief writes."""
    seen = 0
    for paper in papers.variants.values():
        for asked in paper.questions:
            item = files.get(f"items/v{paper.variant}-q{asked.number}.xml")
            assert (item is None) == (asked.question.operation.name == "error")
            if item is None:
                continue
            own = judge(asked.question)
            for answer in {*own.answers.values(), *own.wrong.values()}:
                alone = (
                    mark_question(asked, {"answer": answer}).marks if answer in own.answers.values() else 0
                )
                for spelling in (
                    spellings(asked.question, answer) if answer in own.answers.values() else (answer,)
                ):
                    assert score(item, spelling) == alone, (asked.question, answer)
                    seen += 1
    assert seen > 100


def test_the_engines_answer_is_the_one_said_to_be_correct(papers: Papers, files: dict[str, bytes]) -> None:
    """Worked here anew, by the package's face."""
    for paper in papers.variants.values():
        for asked in paper.questions[1:4]:
            item: Any = etree.fromstring(files[f"items/v{paper.variant}-q{asked.number}.xml"])
            working = cp.work_question(asked.question)
            said = item.findtext(f"{Q}qti-response-declaration/{Q}qti-correct-response/{Q}qti-value")
            assert said == (working.result.bits or working.outcome)


def test_a_question_keeps_its_words(table: dict[str, Any], files: dict[str, bytes]) -> None:
    """A word problem is asked as the paper asks it."""
    for paper in table["papers"]:
        item: Any = etree.fromstring(files[f"items/v{paper['variant']}-q3.xml"])
        assert item.findtext(f"{Q}qti-item-body/{Q}p") == paper["questions"][2]["words"]


def test_a_value_may_be_a_decimal_or_a_fraction(papers: Papers, files: dict[str, bytes]) -> None:
    """With either minus sign, as the paper says."""
    asked = papers.first.questions[0]
    value = cp.work_question(asked.question).result.value
    assert value is not None
    for spelling in (write_decimal(value) or "", str(value), str(value).replace("-", "\u2212")):
        assert score(files["items/v1-q1.xml"], spelling) > 0, spelling


def test_the_same_papers_give_the_same_bytes(table: dict[str, Any]) -> None:
    """No date and no order of chance is in the package."""
    assert package(table) == package(table)


def one(operation: str, *operands: str) -> dict[str, Any]:
    """Return papers of one question."""
    asked = {"operation": operation, "operands": list(operands)}
    return {"schema": "chalkpoint.papers/1", "title": "Gauges", "papers": [{"questions": [asked]}]}


def test_a_word_is_taken_in_any_letters() -> None:
    """Overflow is a word, not a pattern."""
    with zipfile.ZipFile(io.BytesIO(package(one("multiply", "120", "100")))) as packed:
        item = packed.read("items/v1-q1.xml")
    assert score(item, "Overflow") > 0


def test_papers_without_final_answers_are_refused() -> None:
    """One sentence says why."""
    with pytest.raises(EntryError, match="no question with one final answer"):
        package(one("range"))
    assert not has_items(one("range"))
    assert has_items(one("add", "1.5", "2.5"))
