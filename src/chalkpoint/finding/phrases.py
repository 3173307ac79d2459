"""The phrases that a request in words is read by, each with the conditions it stands for.

In a phrase ``{q}`` is a quantity, such as "at least two" or "no", and ``~`` a place where "not" may come, as it may
before every phrase. In a condition ``{q}`` is the comparison and its number. Conditions in one string all hold where
``;`` is between them; where ``/`` is, the first that the operation has. A phrase with more than one string has several
readings, the usual one first, and those that the operation does not have are left out.
"""

from __future__ import annotations

__all__ = ["FILLERS", "OPERATIONS_SAID", "PHRASES"]

ONES = "(?:1s?|ones|bits?|digits?)"
ONE_SIGN = "(?:1 )?(?P<one>positive|negative)(?: number| 1)?"
OTHER_SIGN = "(?:an?|1) (?P<two>positive|negative)(?! exponent)(?: number| 1)?"
WHICH = "(?:the )?(?P<which>first|second)(?: number| operand| mantissa)?"
ONE = "(?:1|bit|digit)"
LAST = "(?:the )?last (?:place|bit)"
FALL = "(?:drops?|falls?|goe?s?|pushed|shifted) (?:off|out|away|(?:in|into) (?:the )?tray)"
AWAY = "(?:(?:at |of )?(?:the )?(?:end|right))"
TO_STORE = " (?:for the format|to (?:store|fit|be stored))"
MOVED = "(?:(?:is |gets |has to be |must be |needs to be )?(?:shifted|moved)|shifts|moves)"
NUMBERS = "(?:numbers|operands|mantissas|values)"

DROPPED = "(?:dropped|thrown away|discarded|ignored|lost)"
MINUS_ONE = "(?:-|minus )1(?:\\.0)?"
NORMALISED = "(?:(?:answer|result|\\|) )?(?:(?:has|needs) to|must) be normalised"
FIRST, SECOND = (
    f"{which}(?: (?:number|operand|1))?(?: (?:is|being|must be))?" for which in ("first", "second")
)
SO = "(?:therefore |then |so |also )?"

OPERATIONS_SAID = {
    "add": "add|adds|adding|added|addition|additions|sum|sums",
    "subtract": "subtract|subtracts|subtracting|subtracted|subtraction|subtractions|difference|differences",
    "multiply": "multiply|multiplies|multiplying|multiplied|multiplication|multiplications|product|products",
    "divide": "divide|divides|dividing|divided|division|divisions|quotient|quotients",
    "decode": "decode|decodes|decoded|decoding",
    "normalise": "normalise|normalises|normalisation|normalisations|normalize|normalization",
    "negate": "negate|negates|negated|negating|negation|negations",
    "encode": "encode|encodes|encoded|encoding|encodings",
    "error": "error",
    "convert": "convert|converts|converted|converting|conversion|conversions",
    "sum": "sums? of (?:[3-9]|several|many) (?:numbers|terms|values)|adding (?:[3-9]|several) (?:numbers|terms|values)",
    "choose-format": "(?:choose|choosing|choice of) (?:a |the )?(?:smallest )?format",
}

# A longer match goes before a shorter one, and of two as long the one further up.
PHRASES: tuple[tuple[str, tuple[str, ...]], ...] = (
    # matching the exponents
    (
        f"a {ONE} (?:is|was) lost|(?:lose|loses|losing|drops|dropping) a {ONE}",
        (
            "lost-ones >= 1 / not exact-result; not overflow; not underflow / not exact-result; not overflow",
            "lost-ones = 1",
        ),
    ),
    (
        f"{{q}}{ONES} (?:(?:is|are|was|were|get|gets|fall|falls) )?(?:lost|off|dropped)(?: in| when)?(?: aligning)?",
        ("lost-ones {q}",),
    ),
    (f"(?:lose|loses|losing|drops|dropping) {{q}}{ONES}(?: in| when)?(?: aligning)?", ("lost-ones {q}",)),
    (
        "(?:lose|loses|losing) (?:precision|accuracy|something)",
        ("not exact-result; not overflow; not underflow / not exact-result; not overflow",),
    ),
    (f"{{q}}lost {ONES}", ("lost-ones {q}",)),
    (f"{{q}}{ONES} (?:(?:is|are|get|gets) )?{FALL}(?: {AWAY})?", ("lost-ones {q}",)),
    ("(?:lose|loses|losing) nothing(?: in| when)?(?: aligning)?", ("lost-ones = 0 / exact-result",)),
    ("nothing (?:is |gets )?lost(?: in| when)?(?: aligning)?", ("lost-ones = 0 / exact-result",)),
    (f"nothing (?:(?:is|gets) )?{FALL}(?: {AWAY})?", ("lost-ones = 0",)),
    (
        f"only (?:0s?|zeroe?s) (?:(?:is|are|get|gets) )?(?:lost|{FALL})(?: {AWAY})?",
        ("lost-ones = 0; align-shift >= 1",),
    ),
    ("(?:equal|same) exponents?", ("equal-exponents / align-shift = 0",)),
    ("exponents (?:are )?~(?:equal|the same)", ("equal-exponents / align-shift = 0",)),
    ("exponents (?:that )?differ by {q}(?:places?)?", ("align-shift {q}",)),
    ("exponents (?:that )?(?:are )?{q}(?:places? )?apart", ("align-shift {q}",)),
    (
        "(?:exponent difference|difference (?:in|of|between) (?:the )?exponents) (?:of|is) {q}",
        ("align-shift {q}",),
    ),
    ("nothing (?:(?:is|has to be|needs to be) )?(?:shifted|moved)", ("equal-exponents",)),
    ("neither (?:number|operand|mantissa) (?:is |gets |has to be )?(?:shifted|moved)", ("equal-exponents",)),
    (f"{MOVED}(?: by)? {{q}}places?", ("align-shift {q}", "norm-shift {q}")),
    (f"{MOVED} by {{q}}", ("align-shift {q}", "norm-shift {q}")),
    (
        f"{WHICH} {MOVED}(?: right)?(?: by)? {{q}}places?",
        ("shifted-operand = {which}; align-shift {q}",),
    ),
    (
        f"{WHICH} {MOVED}(?: right)? by {{q}}",
        ("shifted-operand = {which}; align-shift {q}",),
    ),
    (
        f"{WHICH} (?:is )?~(?:shifted|moved)",
        ("shifted-operand = {which}",),
    ),
    ("shift of {q}(?:places?)?", ("align-shift {q}", "norm-shift {q}")),
    ("{q}shifts?", ("align-shift {q}", "norm-shift {q}")),
    ("(?:mantissas|numbers|operands) are ~shifted", ("align-shift >= 1",)),
    ("(?:a )?negative (?:number|mantissa|operand) is ~shifted", ("shifted-negative",)),
    ("(?:smaller |1 )?(?:number|operand) (?:is |gets )?~(?:absorbed|swallowed)", ("absorbed",)),
    ("(?:smaller |1 )?(?:number|operand) (?:is |gets )?(?:completely|entirely|wholly) lost", ("absorbed",)),
    ("(?:(?:smaller|one|1) (?:number|operand) )?(?:disappears|vanishes)(?: completely)?", ("absorbed",)),
    # adding and normalising
    (
        f"carry (?:(?:that|which) )?(?:(?:is|gets|must be|has to be) )?~{DROPPED}",
        ("carry-dropped / carry-out",),
    ),
    (
        "carry (?:(?:that|which) )?(?:(?:goes|comes|runs) )?(?:out of|past|beyond|leaves|from) (?:the )?"
        "(?:sign (?:place|bit|column)|left|top bit)"
        f"(?:,? (?:that|which) (?:is|gets|must be|has to be) {DROPPED})?",
        ("carry-dropped / carry-out",),
    ),
    (
        f"carry[ -]outs?(?: (?:(?:that|which) )?(?:(?:is|gets|must be|has to be) )?{DROPPED})?",
        ("carry-out / carry-dropped",),
    ),
    (
        "carry (?:(?:that|which) )?(?:(?:goes|comes|runs) )?into (?:the )?(?:sign|first) (?:place|bit|column)",
        ("carry-into-sign",),
    ),
    (
        "end[ -]around carr(?:y|ies)|"
        "carry (?:(?:that|which) )?(?:comes|goes|is carried|is brought) a?round(?: to the (?:end|right))?",
        ("end-around-carry",),
    ),
    ("{q}borrow(?:s|ing)?", ("borrows {q}",)),
    (
        "borrow(?:s|ing)? (?:past|beyond) (?:the )?(?:first|last|top|left) (?:place|bit|column)",
        ("borrow-past-first",),
    ),
    ("(?:answer|result) (?:would|must|has to) be negative", ("borrow-past-first",)),
    (
        "carry (?:that )?(?:falls|drops|runs|goes|leaves)(?: off| out)?(?: of| at)?(?: the)? front",
        ("carry-dropped / carry-out",),
    ),
    ("(?:no|without(?: any)?) carr(?:y|ies)", ("carry-chain = 0",)),
    ("chain of {q}carries", ("carry-chain {q}",)),
    ("carry", ("carry-chain >= 1", "carry-dropped / carry-out")),
    ("{q}carries", ("carries {q}",)),
    ("carry chain of {q}(?:places|columns)?", ("carry-chain {q}",)),
    (
        "(?:mantissa (?:does )?~overflows?|overflows? (?:of )?the mantissa)",
        ("mantissa-overflow",),
    ),
    ("exponent (?:does )?~overflows?", ("exponent-overflow / overflow",)),
    ("(?:exponent )?(?:does )?~underflows?", ("exponent-underflow / underflow",)),
    ("(?:does )?~overflows?", ("mantissa-overflow / overflow", "exponent-overflow")),
    ("(?:has to be|is|must be) repaired|needs? (?:a )?repair", ("mantissa-overflow",)),
    (
        "overflows? (?:without|(?:and|but)(?: with| has)? no)(?: an?)? carry(?:[ -]out)?",
        ("overflow-without-carry / overflow; not carry-out",),
    ),
    (f"repair (?:loses|drops) a? ?{ONES}", ("repair-loses-bit",)),
    ("(?:answer |result )?(?:does )?~needs? normalising(?: by)? {q}(?:places?)?", ("norm-shift {q}",)),
    (f"{NORMALISED}(?: by)? {{q}}(?:places?)?", ("norm-shift {q}",)),
    (f"{NORMALISED} once", ("norm-shift = 1",)),
    (f"{NORMALISED} twice", ("norm-shift = 2",)),
    (
        "(?:answer |result )?(?:is |has to be |must be )?(?:shifted|moved) left (?:by )?{q}(?:places?)?",
        ("norm-shift {q}",),
    ),
    ("\\| (?:an? )?(?:pattern|number|mantissa) by {q}places?", ("norm-shift {q}",)),
    ("of {q}places?", ("norm-shift {q}", "align-shift {q}")),
    ("(?:(?:catastrophic|massive) )?cancellation", ("cancellation / cancelled >= 2",)),
    ("cancels(?: out)?(?: a lot| badly)?", ("cancellation / cancelled >= 2",)),
    (
        "(?:(?:lots of|many|leading) )(?:digits|places|bits) cancel(?: out)?",
        ("cancellation / cancelled >= 2",),
    ),
    (
        "{q}(?:places|bits|digits) cancel(?: out)?",
        ("cancelled {q} / norm-shift {q}",),
    ),
    (
        "(?:(?:catastrophic|massive) )?cancellation of {q}(?:places|bits|digits)",
        ("cancelled {q} / norm-shift {q}",),
    ),
    ("(?:no|without(?: an?)?) remainder|remainder (?:is |of )?0", ("exact-result",)),
    ("(?:with|leaves|leaving) (?:a )?remainder", ("not exact-result",)),
    ("(?:3 1s|3 ones|1 1 and a carry) in (?:a|1|some) column", ("triple-one-column",)),
    # the answer
    ("(?:comes out|answer is|result is|is) ~(?:exactly )?right", ("exact-result",)),
    (f"(?:comes out|answer is|result is) {SO}wrong", ("not exact-result",)),
    ("(?:does )?~comes? out (?:exact|exactly)", ("exact-result",)),
    ("inexact(?: answer| result)?", ("not exact-result",)),
    ("(?:answer|result) (?:is |has to be )?rounded|(?:is|has to be|gets) rounded", ("not exact-result",)),
    ("exact(?: answer| result)?", ("exact-result",)),
    ("(?:answer|result) is ~exact", ("exact-result",)),
    ("(?:is )?stored exactly", ("exact-result",)),
    (
        "(?:answer |result )?(?:does not|can not|not) (?:be )?"
        "(?:stored exactly|exactly representable|representable|fit exactly)",
        ("not-representable / not exact-result",),
    ),
    ("(?:answer|result) (?:is )?~(?:exactly )?(?:0|zero)", ("result-zero",)),
    ("(?:comes out as|comes to|ends up as|gives|giving) (?:0|zero)", ("result-zero",)),
    (f"(?:(?:answer|result|\\|) )?(?:is )?too (?:big|large){TO_STORE}", ("exponent-overflow / overflow",)),
    (f"(?:(?:answer|result|\\|) )?(?:is )?too small{TO_STORE}", ("exponent-underflow / underflow",)),
    ("(?:answer|result|\\|) (?:is )?too (?:big|large)", ("exponent-overflow / overflow",)),
    ("(?:answer|result|\\|) (?:is )?too small", ("exponent-underflow / underflow",)),
    ("(?:answer|result|\\|) (?:does not|can not) fit", ("overflow",)),
    (
        "(?:(?:answer|result|\\|) )?(?:is |goes |lies )?(?:out of|outside|past|beyond) (?:the )?range",
        ("overflow / exponent-overflow",),
    ),
    (f"(?:answer |result )?(?:is |goes )?wrong in {LAST}", ("representable-but-wrong", "error-ulps = 1")),
    (f"error (?:is |of ){{q}}units?(?: in {LAST})?", ("error-ulps {q}",)),
    (f"(?:answer |result )?(?:is |goes )?wrong by {{q}}(?:units? )?in {LAST}", ("error-ulps {q}",)),
    ("relative error (?:is |of )?{q}", ("error-relative {q}",)),
    (
        "(?:rounding and cutting|cutting and rounding) (?:give different (?:answers|results)|differ)",
        ("truncate-vs-nearest-differ",),
    ),
    (
        "rounding (?:gives|would give) a different answer (?:from|to|than) cutting",
        ("truncate-vs-nearest-differ",),
    ),
    ("(?:every|all|any)(?: accepted)? methods? gives? the same(?: answer)?", ("variant-stable",)),
    ("(?:exactly )?half ?way between (?:2 )?patterns|(?:a )?tie", ("tie",)),
    ("subnormal (?:answer|result|\\|)|(?:answer|result|\\|) (?:is )?~subnormal", ("subnormal-result",)),
    (
        "subnormal (?:operand|number|input)s?|(?:operand|number|input) (?:is )?~subnormal",
        ("subnormal-operand",),
    ),
    ("subnormals?", ("subnormal-operand", "subnormal-result")),
    ("sticky (?:bit|place|1)(?: (?:is|has to be) (?:needed|used|set))?", ("sticky",)),
    (
        "round(?:s|ing)(?: up)? (?:carries|gives a carry|with a carry)|rounds up to (?:a|the next) power of 2",
        ("rounding-carries",),
    ),
    ("infinit(?:y|ies)(?: as an operand)?|nan|not a number", ("special-operand",)),
    # the operands
    (
        f"(?:both|2)(?: {NUMBERS})?(?: are)? (?P<sign>positive|negative)s?(?: {NUMBERS})?",
        ("sign-pattern = {sign}{sign}",),
    ),
    (
        "first (?:number |operand )?(?:is )?(?P<one>positive|negative) and (?:the )?second "
        "(?:number |operand )?(?:is )?(?P<two>positive|negative)",
        ("sign-pattern = {one}{two}",),
    ),
    (f"{ONE_SIGN} by {OTHER_SIGN}", ("sign-pattern = {one}{two}",)),
    (f"{ONE_SIGN} from {OTHER_SIGN}", ("sign-pattern = {two}{one}",)),
    (f"{ONE_SIGN} (?:and|to) {OTHER_SIGN}", ("sign-pattern = {one}{two}", "sign-pattern = {two}{one}")),
    (
        "(?:a )?(?P<sign>positive|negative) (?:number|decimal|value|pattern|operand|mantissa|\\|)",
        ("sign-pattern = {sign}",),
    ),
    ("(?:different|opposite|unlike) signs|differ in sign", ("sign-pattern != ++; sign-pattern != --",)),
    ("both exponents(?: are)? (?P<word>positive|negative)", ("exponent-signs = both-{word}",)),
    ("(?P<word>positive|negative) exponent", ("exponent-signs = {word}",)),
    (
        "mixed exponent signs|exponents? signs? (?:are )?mixed|exponents of different signs",
        ("exponent-signs = mixed",),
    ),
    ("exponent is (?:the )?(?:lowest or (?:the )?highest|highest or (?:the )?lowest)", ("exponent-edge",)),
    (f"(?:1|some|a)(?: of the)? (?:mantissas?|operands?|numbers?) is {MINUS_ONE}", ("operand-minus-one",)),
    (
        f"(?:\\| of|(?:taking|takes?) away|subtrahend (?:is|of)|second (?:number |operand )?is) {MINUS_ONE}",
        ("subtrahend-minus-one",),
    ),
    (f"{FIRST} negative", ("sign-pattern != ++; sign-pattern != +-",)),
    (f"{FIRST} positive", ("sign-pattern != -+; sign-pattern != --",)),
    (f"{SECOND} negative", ("sign-pattern != ++; sign-pattern != -+",)),
    (f"{SECOND} positive", ("sign-pattern != +-; sign-pattern != --",)),
    ("most negative mantissa", ("operand-minus-one",)),
    ("already normalised", ("not operand-not-normalised",)),
    ("~(?:recurs|recurring|recurrent)", ("not terminating",)),
    (
        "(?:fraction |decimal )?(?:that |which )?(?:never|does not) (?:ends?|stops?|terminates?)(?: in binary)?",
        ("not terminating",),
    ),
    ("(?:fraction |decimal )?(?:that |which )?goes on for ?ever(?: in binary)?", ("not terminating",)),
    ("reads? the same backwards", ("palindromic-bits",)),
    ("palindrom(?:e|ic)", ("palindromic-bits",)),
    # the whole working
    (f"{{q}}{ONES} (?:in both patterns|altogether|in all)", ("sparse {q}",)),
    (
        "(?:answer|result) (?:has |with )?{q}(?:decimals|decimal places?)",
        ("at-most-d-places {q} / decimal-places {q}",),
    ),
    ("{q}(?:decimals|decimal places?)", ("at-most-d-places {q} / decimal-places {q}",)),
    ("{q}digits to write", ("digits-to-write {q}",)),
)

# Words that change nothing: "or", "not" and every number are never among them.
FILLERS = frozenset(
    (
        "a",
        "an",
        "the",
        "i",
        "want",
        "give",
        "me",
        "where",
        "which",
        "that",
        "whose",
        "in",
        "so",
        "such",
        "and",
        "but",
        "with",
        "from",
        "when",
        "it",
        "its",
        "still",
        "there",
        "has",
        "have",
        "of",
        "is",
        "are",
        "be",
        "to",
        "for",
        "number",
        "numbers",
        "pattern",
        "question",
        "please",
        "although",
        "though",
        "need",
        "something",
        "answer",
        "result",
        "get",
        "decimal",
        "value",
        "can",
    )
)
