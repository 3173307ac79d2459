"""`chalkpoint teach`: a lesson for the board, as slides, on paper, as captions, script and video."""

from __future__ import annotations

from pathlib import Path

from chalkpoint.cli.commands import Flag
from chalkpoint.cli.output import show_progress, start_file, write_file
from chalkpoint.numbers.datafiles import read_text
from chalkpoint.numbers.errors import EntryError, FileError
from chalkpoint.publishing.media import MEDIA, USUAL, Files
from chalkpoint.publishing.recording import spoken, taken, told_in
from chalkpoint.teaching.lessonfile import STARTING, read_lesson

__all__ = ["teach"]

LOOKS = ("light", "dark")
TEXT = "a text file in UTF-8"


def teach(
    lesson: Path | None = None,
    /,
    *,
    out: Path | None = None,
    new: Path | None = None,
    board: Flag = False,
    slides: Flag = False,
    sheet: Flag = False,
    handout: Flag = False,
    cover: Flag = False,
    captions: Flag = False,
    script: Flag = False,
    stills: Flag = False,
    linear: Flag = False,
    video: Flag = False,
    speech: Flag = False,
    open_codecs: Flag = False,
    full_repeats: Flag = False,
    look: str = "light",
    length: str = "full",
    narration: Path | None = None,
    take: Path | None = None,
    sound: Path | None = None,
    sound_delay: int = 0,
) -> None:
    """Make a lesson: for the board, as slides, on paper, as captions, script and video.

    Without a choice everything but the video is made.

    Parameters
    ----------
    lesson
        the lesson's TOML file
    out
        the folder to write into; made if missing
    new
        write a lesson to start from to this file
    board
        board.html, to step through in any browser, without a network
    slides
        slides.pptx, with speaker notes
    sheet
        sheet.html, practice at home with feedback on each line; sheet.papers.json, by which it is marked
    handout
        handout.pdf, for pupils to write on
    cover
        cover.pdf, from which a non-specialist can teach
    captions
        captions.vtt and captions.srt
    script
        script.md, the narration with its times, to change and read back
    stills
        still-001.png and so on, one for each change
    linear
        linear.txt, for a Braille display or embosser
    video
        lesson.mp4 at 25 pictures a second, silent, with captions, chapters and a rehearsal track
    speech
        let a voice speak: in the video, and in the times of everything else
    open_codecs
        AV1 and Opus in lesson.webm instead of H.264 and AAC in lesson.mp4
    full_repeats
        code every picture of the video in full, for a player that shows faults; slower
    look
        light or dark, for video and stills
    length
        full, or a time such as 60s or 3min: what matters least is left out
    narration
        a script.md changed by hand, to be used in place of the lesson's own words
    take
        your own recording: the file the board saved, or a list of times, one for each picture and one for the end;
        the video has your voice then
    sound
        the sound file that a list of times belongs to
    sound_delay
        milliseconds by which your sound runs behind its pictures
    """
    if new is not None:
        start_file(new, STARTING)
        return
    if lesson is None or out is None:
        raise EntryError(
            "teach needs a lesson and a folder, such as chalkpoint teach lesson.toml --out lesson; "
            "--new FILE writes a lesson to start from"
        )
    if look not in LOOKS:
        raise EntryError(f"--look {look!r} is not taken; give {' or '.join(LOOKS)}")
    asked = {
        "board": board,
        "slides": slides,
        "sheet": sheet,
        "handout": handout,
        "cover": cover,
        "captions": captions,
        "script": script,
        "stills": stills,
        "linear": linear,
        "video": video,
    }
    wanted = {name for name, chosen in asked.items() if chosen} or ({"captions"} if take else set(USUAL))
    read = read_lesson(lesson)
    words = read_text(narration, "script", TEXT) if narration else ""
    told, heard = told_in(read, words=words, length=length, speech=speech), b""
    if take:
        told, heard = taken(told, read_text(take, "take", TEXT), sound=_sound(sound), delay=sound_delay)
        wanted |= {"video"}
    elif speech:
        told, heard = spoken(told)
    made: Files = {}
    for name, make in MEDIA.items():
        if name in wanted:
            made |= make(read, told, look)
    if "video" in wanted:
        from chalkpoint.publishing.video import video as film

        made["lesson.webm" if open_codecs else "lesson.mp4"] = film(
            told,
            sound=heard,
            open_codecs=open_codecs,
            full_repeats=full_repeats,
            theme=look,
            progress=show_progress("sentence"),
        )
    _write(out, made)


def _sound(path: Path | None) -> bytes:
    try:
        return path.read_bytes() if path else b""
    except OSError as reason:
        raise FileError(f"the sound {str(path)!r} cannot be read ({reason.strerror})") from reason


def _write(folder: Path, made: Files) -> None:
    """Write every file, once all of them are made."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as reason:
        raise FileError(
            f"{str(folder)!r} cannot be made ({reason.strerror}); give a folder you may write to"
        ) from reason
    for name, content in made.items():
        write_file(folder / name, content)
        print(f"Written: {folder / name}")
