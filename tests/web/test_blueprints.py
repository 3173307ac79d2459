"""A blueprint's form: what one operation alone needs is kept, in rows beside others that do not."""

from chalkpoint.setting.asking import ASKED_KEYS
from chalkpoint.setting.blueprint import parse_blueprint
from chalkpoint.web.blueprints import text_of_form, unread
from chalkpoint.web.forms import Form

ROWS = (
    {"operation": "convert", "to": "binary16"},
    {"operation": "explain", "about": "subtract", "where": "lost-ones >= 1"},
    {"operation": "sum", "terms": "4"},
    {"operation": "add", "format": "8"},
)


def test_what_one_operation_needs_is_kept() -> None:
    """The text of the form is a blueprint that asks just that."""
    names = [key for key in ASKED_KEYS if key != "context"]
    entries = {f"q-{name}": [row.get(name, "") for row in ROWS] for name in names}
    text = text_of_form(Form({"title": ["Recorders"], **entries}), {"format": "8+4"})
    asked = parse_blueprint(text).questions

    assert [(one.to, one.about, one.terms) for one in asked] == [
        ("binary16", "", 3),
        ("", "subtract", 3),
        ("", "", 4),
        ("", "", 3),
    ]
    assert [set(row) for row in unread(text)["question"]] == [set(row) for row in ROWS]
