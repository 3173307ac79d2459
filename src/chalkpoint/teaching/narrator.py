"""What gives a narration its words: catalogue sentences filled in with a step's facts, numbers as one says them."""

from __future__ import annotations

from fractions import Fraction

from chalkpoint.teaching.estimating import told_value
from chalkpoint.working.wording.said import Sentence, Speaker, write_fraction
from chalkpoint.working.wording.words import IN_PARTS
from chalkpoint.working.wording.words_parts import Parts
from chalkpoint.working.wording.words_told import BITS, capital, count, places
from chalkpoint.working.written import Spoken

__all__ = ["Narrator"]

LARGEST_DENOMINATOR = 1024
MOST_BITS, FIRST_BITS = 12, 6  # of more digits in a row only the first are said


class Narrator(Speaker):
    """Says the sentences of `wording.words_told`, which may ask more of a fact than a working's own.

        {apart:count}   a count in words, "two"; {apart:Count} begins a sentence
        {apart:places}  "two places"
        {sign:digit}    one bit as a word, "nought" or "one"

    >>> Narrator(("gauge", "datum"), ".").words("{moved:The} moves {apart:places}.", moved="second", apart=2)
    'The datum moves two places.'
    """

    def words(self, sentence: str, /, **facts: object) -> str:
        """Return *sentence* filled in, a capital letter in front."""
        return capital(self.vformat(sentence, (), facts))

    def again(self, said: Spoken) -> str:
        """Return one of a step's own sentences with its numbers as one says them."""
        return capital(self.text(Sentence(said.key, said.facts)))

    def led(self, said: Spoken) -> tuple[str, str]:
        """Return one of them as its rule and what follows; the rule is "" where it is no part of its own."""
        parts = IN_PARTS.get(said.key, Parts())
        return self.words(parts.rule, **said.facts), self.vformat(parts.rest, (), said.facts)

    def value(self, x: Fraction | int) -> str:
        """Return *x* as it is said."""
        return told_value(Fraction(x), self.point)

    def fraction(self, x: Fraction) -> str:
        """Return *x* as a fraction where that is soon said."""
        return write_fraction(x) if x.denominator <= LARGEST_DENOMINATOR else self.value(x)

    def format_field(self, value: object, format_spec: str) -> str:
        """Return one fact as its field asks for it."""
        match format_spec:
            case "count" | "Count":
                said = count(int(str(value)))
                return capital(said) if format_spec == "Count" else said
            case "places" | "Places":
                said = places(int(str(value)))
                return capital(said) if format_spec == "Places" else said
            case "digit":
                return BITS[str(value)]
            case "bits" if len(str(value)) > MOST_BITS:
                return super().format_field(f"{str(value)[:FIRST_BITS]}\u2026", format_spec)
            case "bracketed" if isinstance(value, int | Fraction) and value >= 0:
                return self.value(value)
        return super().format_field(value, format_spec)
