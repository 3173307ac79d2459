"""Questions in other formats, and those made of several operations: drawn, equal, fair, with schemes that add up."""

from fractions import Fraction

import pytest

from brackwater import IN_WORDS, OTHER_FORMATS, papers
from chalkpoint.numbers.errors import EntryError
from chalkpoint.setting.answering import final_answer
from chalkpoint.setting.asking import BlueprintQuestion
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.setting.diagnose import answers_to_all
from chalkpoint.setting.drawing import draw_for
from chalkpoint.setting.drawn import demands_of, draw_plain, is_plain
from chalkpoint.setting.fairness import judge
from chalkpoint.setting.papers import Item
from chalkpoint.setting.schemes import scheme_for
from chalkpoint.setting.setter import set_papers
from chalkpoint.working.course import Course
from chalkpoint.working.question import ask
from chalkpoint.working.work import work_question

ITEMS = [item for text in (OTHER_FORMATS, IN_WORDS) for paper in papers(text) for item in paper.questions]
PLAIN = 'title = "Levels"\n[[question]]\n'


def refusal(text: str) -> str:
    """Return the sentence a blueprint is refused with."""
    with pytest.raises(EntryError) as refused:
        parse_blueprint(PLAIN + text, source="levels.toml")
    return str(refused.value)


@pytest.mark.parametrize("text", [OTHER_FORMATS, IN_WORDS], ids=["formats", "in words"])
def test_variants_are_equal_and_no_question_is_asked_twice(text: str) -> None:
    """The report says so, and the measure agrees; demands are shared where there are no traits."""
    made = papers(text, 6)

    assert (
        made.report[-1].startswith("Every variant is equal") or "The same in every variant" in made.report[-1]
    )
    every = zip(*(paper.questions for paper in made), strict=True)
    for asked, items in zip(made.blueprint.questions, every, strict=True):
        first = items[0].candidate.measure
        assert all(item.candidate.measure.same_steps(first) for item in items)
        assert len({item.scheme.total for item in items}) == 1
        keys = [tuple(item.question.operands) for item in items]
        assert len(set(keys)) == (1 if asked.is_fixed else len(keys))


def test_marks_add_up_and_each_mark_expects_something() -> None:
    """A paper's marks are those of its questions, and theirs those of the lines; no line expects nothing."""
    for item in ITEMS:
        entry = item.to_dict()
        assert entry["marks"] == sum(mark["marks"] for mark in entry["scheme"])
        assert all(mark.expects for mark in item.scheme.marks)


def row_digits(item: Item) -> str:
    """Return everything the engine wrote for an item, without blanks or points."""
    said = [
        step.says + "".join(row.bits + row.exponent_bits for row in step.rows) for step in item.working.steps
    ]
    return "".join("".join(said).split()).replace(".", "")


def test_digits_that_a_scheme_expects_stand_in_the_working() -> None:
    """A scheme computes nothing: rows of bits it expects are rows of the engine's."""
    seen = 0
    for item in ITEMS:
        written = row_digits(item)
        for mark in item.scheme.marks:
            digits = mark.expects.split(" \u00d7 ")[0].replace(".", "").rstrip("\u2026")
            if set(digits) == {"0", "1"} and len(digits) > 3 and item.question.operation.name != "sum":
                assert digits in written, (item.working.title, mark)
                seen += 1
    assert seen > 40


def test_the_answer_expected_is_the_working_s() -> None:
    """Bits, a value, a format or a word: what the working ends in."""
    for item in ITEMS:
        answers = [mark.expects for mark in item.scheme.marks if mark.rule == "answer"]
        assert answers in ([], [final_answer(item.working).split("; ")[0]])


def test_explanations_are_the_engine_s_points_and_the_rest_is_listed() -> None:
    """Three marks for the first three points; what else can be said stands below them."""
    found = [item for item in ITEMS if item.question.operation.name == "explain"]

    assert found
    for item in found:
        said = [step.says for step in item.working.steps]
        assert [mark.expects for mark in item.scheme.marks] == said[: item.scheme.total]
        assert list(item.scheme.also) == said[item.scheme.total :]
        assert item.scheme.alone == 0


@pytest.mark.parametrize(
    ("operation", "operands", "spelling", "belief", "wrong"),
    [
        ("decode", ["0 1001 101"], "1+4+3", "bias-not-removed", "832"),
        ("encode", ["6.5"], "1+4+3", "hidden-one-stored", "0 1001 110"),
        ("multiply", ["0 1000 101", "0 0101 110"], "1+4+3", "bias-kept-twice", "0 1110 011"),
        ("negate", ["00110100"], "8", "invert-only", "11001011"),
    ],
)
def test_beliefs_about_other_formats_give_the_wrong_answers_of_their_examples(
    operation: str, operands: list[str], spelling: str, belief: str, wrong: str
) -> None:
    """Those of the examples that the catalogue is held to."""
    fairness = judge(ask(operation, *operands, course=Course(format=spelling)))

    assert fairness.wrong[belief] == wrong


def test_a_belief_acts_on_both_sides_of_a_conversion() -> None:
    """Who leaves the hidden one out when reading leaves it out here; who stores it does so when writing."""
    reading = judge(ask("convert", "0 1001 101", "8+4", course=Course(format="1+4+3")))
    writing = judge(ask("convert", "6.5", "1+4+3", course=Course()))

    assert reading.wrong["hidden-one-missing"] == "01010000 0010"  # 2.5, as its example reads it
    assert writing.wrong["hidden-one-stored"] == "0 1001 110"


def test_a_belief_acts_in_every_addition_of_a_sum() -> None:
    """Without alignment, 1.5 + 0.25 + 0.25 goes wrong twice."""
    question = ask("sum", "1.5", "0.25", "0.25", course=Course(accepts=("negate-then-align",)))
    fairness = judge(question)

    assert set(fairness.answers) == {"align-then-negate", "negate-then-align"}
    assert fairness.same_answer
    assert fairness.wrong["align-skip"] != fairness.answers["align-then-negate"]


def test_special_values_are_set_without_beliefs() -> None:
    """An infinity is added as it is."""
    scheme = scheme_for(ask("add", "infinity", "1", course=Course(format="binary16")))

    assert [(mark.rule, mark.expects) for mark in scheme.marks] == [("answer", "0 11111 0000000000")]


@pytest.mark.parametrize(
    ("operation", "spelling"),
    [
        (operation, spelling)
        for spelling in ("binary16", "E4M3", "1+4+3", "1750A-32", "C3x-16", "8", "Q5.3", "8 unsigned")
        for operation in ("decode", "encode", "add", "subtract", "multiply")
    ],
)
def test_each_family_is_drawn_for_by_seed(operation: str, spelling: str) -> None:
    """Different questions within the range, the same for the same seed, and each with a scheme."""
    asked = BlueprintQuestion(operation, Course(format=spelling))
    drawn = list(draw_plain(asked, (), 12, "a"))

    assert is_plain(asked)
    assert [question.operands for question in drawn] == [
        question.operands for question in draw_plain(asked, (), 12, "a")
    ]
    assert len({tuple(question.operands) for question in drawn}) == 12
    for question in drawn:
        working = work_question(question)
        assert working.outcome == "in range"
        assert scheme_for(question).total >= 2
    demands = demands_of(work_question(drawn[0]))
    assert demands_of(work_question(next(draw_plain(asked, demands, 1, "b")))) == demands


def test_a_trait_that_a_format_has_not_is_refused_in_one_sentence() -> None:
    """Traits are those that mean something there."""
    said = refusal('operation = "add"\nformat = "binary16"\nwhere = ["carry-out"]\n')

    assert said.startswith("levels.toml, line 5: where: 'carry-out' is not a trait of add in binary16; ")


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ('operation = "convert"\n', ["convert needs the format", 'to = "binary16"']),
        ('operation = "convert"\nto = "binary17"\n', ["line 4", "'binary17' is not a format"]),
        ('operation = "add"\nto = "8+4"\n', ["line 4", "to is a key of convert"]),
        ('operation = "explain"\n', ["explain needs what is explained", "subtract"]),
        ('operation = "explain"\nabout = "decode"\n', ['about = "decode" is not taken', "encode"]),
        (
            'operation = "explain"\noperands = ["range"]\n',
            ["line 4", "range is not explained", "subtract", "sum"],
        ),
        ('operation = "sum"\nterms = 1\n', ["terms = 1 is no sum", "2 to 6"]),
        ('operation = "sum"\nwhere = ["exact-result"]\n', ["sum has no traits"]),
        ('operation = "decode"\nformat = "binary64"\n', ["binary64", "more than 32 bits"]),
        ('operation = "normalise"\nformat = "binary16"\n', ["binary16 hides the first 1"]),
        ('operation = "multiply"\nformat = "8 sign-and-magnitude"\n', ["not worked in sign and magnitude"]),
        ('operation = "add"\nformat = "8"\nkind = "faded"\n', ["line 5", 'kind = "faded"']),
        ('operation = "convert"\nto = "6+4"\ncontext = true\n', ["line 5", "not told as a word problem"]),
        ('operation = "divide"\nformat = "8"\noperands = ["5", "0"]\n', ["5 \u00f7 0 has no answer"]),
        ('operation = "divide"\noperands = ["5", "0"]\n', ["5 \u00f7 0 has no answer"]),
        ('operation = "decode"\nformat = "8"\nmarks = 3\n', ["marks = 3", "1 to 2"]),
        (
            'operation = "convert"\nto = "6+4"\noperands = ["1.5", "6+4"]\n',
            ["to is not needed beside operands"],
        ),
    ],
)
def test_what_cannot_be_set_is_said(text: str, parts: list[str]) -> None:
    """One sentence with the line, the value, and what would do."""
    said = refusal(text)

    assert [part for part in parts if part not in said] == []
    assert said.startswith("levels.toml, line ")
    assert "\n" not in said


def test_other_formats_are_diagnosed() -> None:
    """A diagnosing paper chooses questions in any format that beliefs are told of."""
    text = 'title = "L"\npurpose = "diagnose"\nmost = 4\n[[question]]\noperation = "add"\nformat = "8"\n'
    made = set_papers(parse_blueprint(text), variants=1, seed=1)
    assert [item.question.operation.name for item in made.papers[0].questions] == ["add"] * 4
    chosen = set_papers(parse_blueprint(text.replace('"add"', '"choose-format"')), variants=1, seed=1)
    assert {item.question.operation.name for item in chosen.papers[0].questions} == {"choose-format"}


@pytest.mark.parametrize("spelling", ["8+4", "8 ones-complement", "1+4+3"])
def test_conversions_and_sums_are_diagnosed(spelling: str) -> None:
    """Questions are chosen on which beliefs of reading, storing and adding show."""
    text = f'title = "L"\npurpose = "diagnose"\nmost = 4\n[course]\nformat = "{spelling}"\n'
    text += '[[question]]\noperation = "convert"\nto = "10+6"\n[[question]]\noperation = "sum"\n'
    made = set_papers(parse_blueprint(text), variants=1, seed=1)
    asked = [item.question for item in made.papers[0].questions]
    assert {question.operation.name for question in asked} == {"convert", "sum"}
    for question in asked:
        answers = answers_to_all([question], pairs=False)[0]
        assert len(set(answers.values())) > 1
        assert answers["right"].split("; ")[-1] == final_answer(
            work_question(question)
        )  # behind those on the way


def test_traits_of_other_formats_are_asked_for() -> None:
    """Every variant has them."""
    text = (
        'title = "L"\n[[question]]\noperation = "add"\nformat = "8"\nwhere = ["carry-out", "not overflow"]\n'
    )
    made = set_papers(parse_blueprint(text), variants=4, seed=1)
    for paper in made.papers:
        first, second = (int(bits, 2) for bits in paper.questions[0].question.operands)
        assert first + second >= 256


def test_what_numbers_good_to_write_never_do_is_found() -> None:
    """No number drawn for its short decimal is subnormal in binary16; the finder has 2,046 such patterns."""
    asked = BlueprintQuestion("decode", Course(format="binary16"), where=("subnormal-operand",))
    (question,) = draw_for(asked, (), 1, "1")

    assert 0 < abs(question.values[0]) < Fraction(1, 2**14)
