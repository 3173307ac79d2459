"""`chalkpoint tab`: what it writes and where, and what it says where npm is missing."""

from __future__ import annotations

from pathlib import Path

import pytest

from chalkpoint.cli import main
from chalkpoint.web.tab import writing

PARTS = {
    name: name.encode() for name in ("loader", "glue", "wasm", "lock", "stdlib", "engine", "site", "print")
}


@pytest.fixture
def parts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts of a few bytes, so that nobody waits for Python's own."""
    import gzip

    made = PARTS | {"licences": gzip.compress(b"licences")}
    monkeypatch.setattr(writing, "build_parts", lambda cache: made)


def said(capsys: pytest.CaptureFixture[str], *words: object) -> tuple[int | str | None, str]:
    """Return the exit code of a command, and what it says."""
    with pytest.raises(SystemExit) as left:
        main(["tab", *map(str, words)])
    told = capsys.readouterr()
    return left.value.code, told.out + told.err


@pytest.mark.usefixtures("parts")
def test_a_folder_is_written_whole_and_replaced_only_when_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page, its parts by their digests, what opens them offline, the licences; never over anything else."""
    out = tmp_path / "chalk"
    code, told = said(capsys, out)
    assert (code, told.startswith(f"Written: {out}, ")) == (0, True)
    names = {path.relative_to(out).as_posix().split("-")[0] for path in out.rglob("*") if path.is_file()}
    assert names == {"index.html", "offline.js", "licences.txt", *(f"parts/{name}" for name in PARTS)}
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}

    assert said(capsys, out) == (
        2,
        f"chalkpoint: '{out}' is there already; give --replace, or another name\n",
    )
    assert said(capsys, out, "--replace")[0] == 0
    assert {path: path.read_bytes() for path in out.rglob("*") if path.is_file()} == before
    (tmp_path / "other").mkdir()
    refused = f"chalkpoint: '{tmp_path / 'other'}' is there already; give another name\n"
    assert said(capsys, tmp_path / "other", "--replace") == (2, refused)
    assert [path.name for path in sorted(tmp_path.iterdir())] == ["chalk", "other"]


@pytest.mark.usefixtures("parts")
def test_one_file_has_everything_in_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A drawn working stands in it from the beginning, and it asks for nothing outside."""
    out = tmp_path / "chalkpoint.html"
    assert said(capsys, out, "--one-file")[0] == 0
    page = out.read_text(encoding="utf-8")
    assert all(f'id="part-{name}"' in page for name in PARTS)
    assert "8.875" in page
    assert "default-src 'none'" in page
    assert said(capsys, tmp_path / "no" / "one.html", "--one-file")[0] == 2


def test_without_npm_one_sentence_says_what_to_install(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Nothing is written."""
    monkeypatch.setenv("PATH", "")
    code, told = said(capsys, tmp_path / "chalk", "--cache", tmp_path / "cache")
    assert code == 2
    assert "npm is not on the PATH; install Node.js 18 or later" in told
    assert not (tmp_path / "chalk").exists()
