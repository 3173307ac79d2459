"""Work: what stands on the page before anything is asked."""

import re

from conftest_web import Client, words


def test_each_example_leads_to_its_working(client: Client) -> None:
    """While nothing is worked, examples stand there; each leads to a page headed as it was named."""
    page = client.get("/work").text
    examples = re.findall(
        r'<li><a href="(/work\?[^"]+)">(.*?)</a>', page[page.index("<h2>Questions to begin") :]
    )
    assert len(examples) >= 8
    for to, name in examples:
        worked = client.get(to.replace("&amp;", "&"))
        assert worked.status_code == 200
        assert words(f"<body>{name}") in words(worked.text)
        assert "Questions to begin" not in worked.text
