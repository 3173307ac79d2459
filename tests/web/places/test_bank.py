"""The bank: a kept question has its tags, its last use and what the class got; no question again that they had."""

from conftest_web import ANSWERS, BLUEPRINT, Client, words


def test_a_kept_question_says_when_it_was_used_and_how_the_class_did(client: Client) -> None:
    """Three pupils had 6.5 - 1.25; its row has the marks they got of the marks there were, and the tags given."""
    client.submit("/work/questions", operation="subtract", operands="6.5, 1.25", format="6+4")
    assert "never" in client.said("/set/questions")
    made = client.submit("/set/new", blueprint=BLUEPRINT).url.path
    papers = client.done(client.submit(f"{made}/set", variants="1", seed="7")).url.path
    assert "not marked" in client.said("/set/questions")
    client.submit(f"{papers.replace('/set/', '/mark/')}/answers", pasted=ANSWERS)
    said = client.said("/set/questions")
    assert "Gauge readings" in said
    assert "of 18" in said  # three pupils, six marks each

    page = client.get("/set/questions").text
    action = page.split('action="/set/questions/', 1)[1].split('/tags"', 1)[0]
    client.submit(f"/set/questions/{action}/tags", tags="Alignment, hard, hard")
    assert "Tags: alignment hard" in client.said("/set/questions")
    assert "6.5" in client.said("/set/questions?tag=hard")
    assert 'value="subtract 6.5, 1.25"' not in client.get("/set/questions?tag=easy").text


def test_papers_ask_nothing_again_that_earlier_ones_did(client: Client) -> None:
    """The same blueprint and seed would ask the same; with the earlier papers named, all is new."""
    text = 'title = "L"\n[[question]]\noperation = "decode"\n'
    made = client.submit("/set/new", blueprint=text).url.path
    first = client.done(client.submit(f"{made}/set", variants="2", seed="7")).url.path
    again = client.done(client.submit(f"{made}/set", variants="2", seed="7")).url.path
    other = client.done(
        client.submit(f"{made}/set", variants="2", seed="7", without=first.rsplit("/", 1)[1])
    ).url.path
    shown = [
        words(client.get(path).text).split("Variant 1", 1)[1].split("Files")[0]
        for path in (first, again, other)
    ]
    assert shown[0] == shown[1]
    assert shown[0] != shown[2]


def test_a_question_of_one_s_own_is_not_asked_again_in_silence(client: Client) -> None:
    """In the third week, what either of the first two papers had is refused by its name, and new numbers are drawn."""
    own = 'title = "W"\n[[question]]\noperation = "add"\noperands = ["6.5", "1.25"]\n'
    made = client.submit("/set/new", blueprint=own).url.path
    client.done(client.submit(f"{made}/set", variants="1", seed="7"))
    second = client.submit("/set/new", blueprint=own.replace("6.5", "5.5")).url.path
    client.done(client.submit(f"{second}/set", variants="1", seed="7", without="any"))
    third = client.done(client.submit(f"{made}/set", variants="1", seed="7", without="any"))
    assert "add 6.5, 1.25 was asked in the earlier papers" in words(third.text)
    third = client.done(client.submit(f"{second}/set", variants="1", seed="7", without="any"))
    assert "add 5.5, 1.25 was asked in the earlier papers" in words(third.text)
