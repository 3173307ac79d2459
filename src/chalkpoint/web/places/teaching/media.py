"""What is made of a lesson: slides, sheets, captions, a video; and its narration in the teacher's own words."""

from __future__ import annotations

from pathlib import Path

from starlette.responses import Response
from starlette.routing import Route

from chalkpoint.numbers.errors import ChalkpointError, EntryError, missing_extra
from chalkpoint.publishing.media import MEDIA, Files
from chalkpoint.publishing.recording import spoken, taken, told_in
from chalkpoint.records import kept
from chalkpoint.records.kept import Kept
from chalkpoint.teaching.length import LENGTHS, parse_length
from chalkpoint.teaching.parts import storyboard
from chalkpoint.teaching.script import read_script, script
from chalkpoint.teaching.storyboard import Storyboard
from chalkpoint.web.forms import Upload
from chalkpoint.web.jobs import Watch
from chalkpoint.web.lessons import lesson_in
from chalkpoint.web.pagerequest import PageRequest, see, teacher_page
from chalkpoint.web.places.teaching.lessons import KIND, lesson_asked
from chalkpoint.web.showing import show
from chalkpoint.web.standalone import STANDALONE

__all__ = ["ROUTES"]

LOOKS = ("light", "dark")
LARGEST = 20_000_000  # bytes of a form with a take and its sound
LONGEST_DELAY = 5  # digits
SCRIPT = "script"
VIDEO = "video"
NOT_IN_A_TAB = frozenset({VIDEO, "stills"})
WORDS = {
    "board": "the board, for a memory stick",
    "slides": "slides with speaker notes",
    "sheet": "practice at home",
    "handout": "a handout to write on",
    "cover": "a cover lesson",
    "captions": "captions",
    "script": "the narration",
    "stills": "a picture a change",
    "linear": "text for Braille",
    "video": "a video",
}


def media_page(request: PageRequest) -> Response:
    """Show what can be made of a lesson, and what has been."""
    return _page(request, lesson_asked(request))


def _page(request: PageRequest, one: Kept, refused: str = "", written: str = "") -> Response:
    folder = _folder(request, one)
    told = told_in(lesson_in(one.body), words=one.about.get(SCRIPT, ""))
    files = sorted(path.name for path in folder.glob("*/*")) if folder.is_dir() else []
    return show(
        request,
        "media.html.jinja",
        status=422 if refused else 200,
        one=one,
        words=_words(request),
        in_a_tab=request.app.settings.in_a_tab,
        looks=LOOKS,
        lengths=list(LENGTHS),
        files=files,
        narration=written or script(told),
        refused=refused,
    )


def _words(request: PageRequest) -> dict[str, str]:
    """Return what can be made here, by the words for it: a browser has neither the film's coder nor a voice."""
    left_out = NOT_IN_A_TAB if request.app.settings.in_a_tab else frozenset()
    return {name: words for name, words in WORDS.items() if name not in left_out}


def _folder(request: PageRequest, one: Kept) -> Path:
    return request.app.artefacts.folder("lesson", one.body, one.about.get(SCRIPT, ""))


def keep_narration(request: PageRequest) -> Response:
    """Keep the narration as the teacher changed it."""
    one, written = lesson_asked(request), request.form.text("narration").replace("\r\n", "\n")
    try:
        read_script(written, storyboard(lesson_in(one.body)))
    except ChalkpointError as reason:
        return _page(request, one, refused=str(reason), written=written)
    with request.app.store.write() as db:
        kept.change(db, request.teacher, KIND, one.id, about={**one.about, SCRIPT: written})
    return see(f"/teach/lessons/{one.id}/media")


def make(request: PageRequest) -> Response:
    """Make what was ticked, as work that may be left."""
    one, form = lesson_asked(request), request.form
    wanted = [name for name in form.texts("medium") if name in _words(request)]
    if not wanted:
        return _page(request, one, refused="nothing is ticked; tick what is to be made")
    look, length = form.one_of("theme", LOOKS, LOOKS[0]), form.text("length", "full")
    speech = form.has("speech") and not request.app.settings.in_a_tab
    parent, back = _folder(request, one), f"/teach/lessons/{one.id}/media"
    try:
        parse_length(length)
    except ChalkpointError as reason:
        return _page(request, one, refused=str(reason))

    def work(watch: Watch) -> str:
        lesson = lesson_in(one.body)
        told = told_in(lesson, words=one.about.get(SCRIPT, ""), length=length, speech=speech)
        told, sound = spoken(told) if speech else (told, b"")
        for name in wanted:
            made = _video(told, sound, look, watch) if name == VIDEO else MEDIA[name](lesson, told, look)
            _write(parent, f"{name}-{look}-{speech:d}-{length}", made)
        return back

    return see(f"/jobs/{request.app.jobs.start(request.teacher, f'Making {one.title}', work, back=back)}")


def make_of_take(request: PageRequest) -> Response:
    """Make the video of a teacher's own recording, and its captions, as work that may be left."""
    one, form = lesson_asked(request), request.form
    take, sound = form.files.get("take"), form.files.get("sound")
    parent, back = _folder(request, one), f"/teach/lessons/{one.id}/media"
    try:
        if take is None or not take.data:
            raise EntryError("no take is chosen; choose the file that the board saved, or a list of times")
        told, heard = taken(
            told_in(lesson_in(one.body), words=one.about.get(SCRIPT, "")),
            _decoded(take),
            sound=sound.data if sound else b"",
            delay=_delay(form.text("delay", "0")),
        )
    except ChalkpointError as reason:
        return _page(request, one, refused=str(reason))

    def work(watch: Watch) -> str:
        captions = MEDIA["captions"](lesson_in(one.body), told, LOOKS[0])
        _write(parent, "take", _video(told, heard, LOOKS[0], watch) | captions)
        return back

    what = f"Making the video of your recording of {one.title}"
    return see(f"/jobs/{request.app.jobs.start(request.teacher, what, work, back=back)}")


def _decoded(take: Upload) -> str:
    try:
        return take.data.decode("utf-8-sig")
    except UnicodeDecodeError as reason:
        raise EntryError(
            f"{take.name!r} is no take; choose the file that the board saved, or a text with a time a line"
        ) from reason


def _delay(written: str) -> int:
    if not (written.isascii() and written.isdigit() and len(written) <= LONGEST_DELAY):
        raise EntryError(f"a delay of {written!r} is not taken; give milliseconds, such as 80")
    return int(written)


def _video(told: Storyboard, sound: bytes, look: str, watch: Watch) -> Files:
    try:
        from chalkpoint.publishing.video import video

        return {"lesson.mp4": video(told, sound=sound, theme=look, progress=watch)}
    except ModuleNotFoundError as reason:
        raise missing_extra("video", str(reason.name), "video") from reason


def _write(parent: Path, name: str, made: Files) -> None:
    """Write the files of one medium, each whole; those of another look or voice give way."""
    folder = parent / name
    folder.mkdir(parents=True, exist_ok=True)
    for file, content in made.items():
        for old in parent.glob(f"*/{file}"):
            old.unlink()
        (folder / file).write_bytes(content.encode() if isinstance(content, str) else content)


def file_page(request: PageRequest) -> Response:
    """Send one of the files of a lesson."""
    one, name = lesson_asked(request), request.path["name"]
    folder = _folder(request, one)
    found = next((path.parent for path in folder.glob("*/*") if path.name == name), folder)
    sent = request.app.artefacts.send(
        found, name, download=not name.endswith((".pdf", ".html", ".txt", ".md"))
    )
    if name.endswith(".html"):  # a page of ours with its own script, opened from here only to be looked at
        sent.headers["Content-Security-Policy"] = STANDALONE
        sent.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return sent


ROUTES = [
    Route("/teach/lessons/{id}/media", teacher_page(media_page)),
    Route("/teach/lessons/{id}/media", teacher_page(make), methods=["POST"]),
    Route("/teach/lessons/{id}/take", teacher_page(make_of_take), methods=["POST"], max_body_size=LARGEST),
    Route("/teach/lessons/{id}/narration", teacher_page(keep_narration), methods=["POST"]),
    Route("/teach/lessons/{id}/files/{name}", teacher_page(file_page)),
]
