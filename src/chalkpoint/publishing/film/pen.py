"""A pen that draws straight into the three planes of a yuv420p picture: boxes, strokes, words."""

from __future__ import annotations

from functools import cache, lru_cache
from importlib.resources import as_file, files
from typing import TYPE_CHECKING, Any

from chalkpoint.numbers.errors import EntryError
from chalkpoint.publishing.film.lettering import HEIGHT, WIDTH

if TYPE_CHECKING:
    import numpy as np
    from PIL import ImageFont

__all__ = ["LOOKS", "Canvas"]

LIGHT = {
    "paper": 0xFBF9F4,
    "ink": 0x1E1C19,
    "soft": 0x5A544B,
    "rail": 0x7D7568,
    "hair": 0xD8D1C4,
    "change": 0xA83A05,
    "band": 0xF3E3D6,
    "ledge": 0x1C2223,
}
DARK = {
    "paper": 0x1C2223,
    "ink": 0xF3EFE4,
    "soft": 0xB9B4A6,
    "rail": 0x8F8D82,
    "hair": 0x434A4A,
    "change": 0xFFC861,
    "band": 0x3A3527,
    "ledge": 0x0D1111,
}
LOOKS = {"light": LIGHT, "dark": DARK}
HATCH = 14  # px between two strokes of a hatch


def _yuv(rgb: int) -> tuple[int, int, int]:
    """Return a colour in the numbers of high-definition video (BT.709, limited range)."""
    red, green, blue = (rgb >> 16) / 255, (rgb >> 8 & 255) / 255, (rgb & 255) / 255
    luma = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return (
        round(16 + 219 * luma),
        round(128 + 224 * (blue - luma) / 1.8556),
        round(128 + 224 * (red - luma) / 1.5748),
    )


@cache
def _font(size: int, *, bold: bool) -> ImageFont.FreeTypeFont:
    from PIL import ImageFont

    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    with as_file(files("chalkpoint.publishing") / "fonts" / name) as path:
        return ImageFont.truetype(str(path), size)


@lru_cache(4096)
def _glyphs(text: str, size: int, *, bold: bool) -> tuple[np.ndarray, int, int]:
    """Return (coverage, width, top of the coverage above the baseline) of *text*."""
    import numpy as np
    from PIL import Image, ImageDraw

    face = _font(size, bold=bold)
    _, top, right, bottom = (round(side) for side in face.getbbox(text, anchor="ls"))
    image = Image.new("L", (max(2, right + 2), max(2, bottom - top + 2)))
    ImageDraw.Draw(image).text((0, -top), text, 255, face, anchor="ls")
    return np.asarray(image, np.uint8), round(face.getlength(text)), top


@lru_cache(256)
def _triangle(w: int, h: int) -> np.ndarray:
    return _shape((w, h), lambda draw, k: draw.polygon([(0, k * h), (k * w / 2, 0), (k * w, k * h)], 255))


@lru_cache(1024)
def _stroke(dx: int, dy: int, thick: int) -> np.ndarray:
    start = thick if dx >= 0 else thick - dx
    size = (abs(dx) + 2 * thick, abs(dy) + 2 * thick)
    return _shape(
        size,
        lambda draw, k: draw.line(
            [(start * k, thick * k), ((start + dx) * k, (thick + dy) * k)], 255, thick * k
        ),
    )


def _shape(size: tuple[int, int], drawn: Any) -> np.ndarray:
    """Return the coverage of a shape drawn three times too large and made smaller, so that its edges are smooth."""
    import numpy as np
    from PIL import Image, ImageDraw

    large = Image.new("L", (size[0] * 3, size[1] * 3))
    drawn(ImageDraw.Draw(large), 3)
    return np.asarray(large.resize(size, Image.Resampling.BOX), np.uint8)


@lru_cache(256)
def _hatching(w: int, h: int, x: int, y: int) -> np.ndarray:
    """Return strokes rising to the right; they go on from box to box, since they are counted from the corner."""
    import numpy as np

    down, across = np.mgrid[y : y + h, x : x + w]
    place = (down + across) % HATCH
    covered: np.ndarray = np.where(place < 2, 255, np.where(place < 3, 110, 0)).astype(np.uint8)
    return covered


class Canvas:
    """A picture under construction."""

    def __init__(self, look: str = "light", planes: list[np.ndarray] | None = None) -> None:
        self._look = look
        self._colours = {name: _yuv(rgb) for name, rgb in LOOKS[look].items()}
        self.planes = planes if planes is not None else _blank(self._colours["paper"])

    def copy(self) -> Canvas:
        """Return another picture that begins as this one is."""
        return Canvas(self._look, [plane.copy() for plane in self.planes])

    # === As a pen ===

    def box(self, x: float, y: float, w: float, h: float, colour: str, a: float = 1) -> None:
        """Fill a box."""
        left, top = max(0, round(x)), max(0, round(y))
        right, bottom = round(x + max(1, w)), round(y + max(1, h))
        if a < 1:
            import numpy as np

            mask = np.full((max(1, bottom - top), max(1, right - left)), 255, np.uint8)
            self._stamp(left, top, mask, colour, a)
            return
        luma, *chroma = self._colours[colour]
        self.planes[0][top:bottom, left:right] = luma
        for plane, tint in zip(self.planes[1:], chroma, strict=True):
            plane[top // 2 : (bottom + 1) // 2, left // 2 : (right + 1) // 2] = tint

    def hatch(self, x: float, y: float, w: float, h: float) -> None:
        """Fill a box with strokes."""
        size = (max(1, round(w)), max(1, round(h)))
        self._stamp(x, y, _hatching(*size, round(x) % HATCH, round(y) % HATCH), "rail", 1)

    def wedge(self, x: float, y: float, w: float, h: float, colour: str) -> None:
        """Draw a triangle that points up."""
        self._stamp(x, y, _triangle(max(2, round(w)), max(2, round(h))), colour, 1)

    def stroke(
        self, ends: tuple[float, float, float, float], thick: float, colour: str, a: float = 1
    ) -> None:
        """Draw a straight stroke."""
        x1, y1, x2, y2 = ends
        if y1 > y2:
            x1, y1, x2, y2 = x2, y2, x1, y1
        wide = max(1, round(thick))
        mask = _stroke(round(x2 - x1), round(y2 - y1), wide)
        self._stamp(min(x1, x2) - wide, y1 - wide, mask, colour, a)

    def text(
        self,
        at: tuple[float, float],
        text: str,
        size: float,
        colour: str = "ink",
        *,
        bold: bool = False,
        anchor: str = "start",
        a: float = 1,
    ) -> None:
        """Write on a baseline."""
        if not text or a <= 0:
            return
        mask, width, top = _glyphs(text, max(6, round(size)), bold=bold)
        shift = {"start": 0.0, "middle": width / 2, "end": width}[anchor]
        self._stamp(at[0] - shift, at[1] + top, mask, colour, a)

    def _stamp(self, x: float, y: float, mask: np.ndarray, colour: str, a: float) -> None:
        """Lay a colour over the picture where *mask* covers it."""
        import numpy as np

        left, top = round(x), round(y)
        mask = mask[max(0, -top) :, max(0, -left) :]
        left, top = max(0, left), max(0, top)
        part = self.planes[0][top : top + mask.shape[0], left : left + mask.shape[1]]
        mask = mask[: part.shape[0], : part.shape[1]]
        cover = mask.astype(np.int16) if a >= 1 else (mask * a).astype(np.int16)
        luma, *chroma = self._colours[colour]
        part += ((luma - part.astype(np.int16)) * cover // 255).astype(np.uint8)
        half = cover[top % 2 :: 2, left % 2 :: 2]
        down, across = (top + 1) // 2, (left + 1) // 2
        for plane, tint in zip(self.planes[1:], chroma, strict=True):
            quarter = plane[down : down + half.shape[0], across : across + half.shape[1]]
            covered = half[: quarter.shape[0], : quarter.shape[1]]
            quarter += ((tint - quarter.astype(np.int16)) * covered // 255).astype(np.uint8)

    # === As a picture ===

    def png(self) -> bytes:
        """Return the picture as a PNG file."""
        import io

        import numpy as np
        from PIL import Image

        luma = (self.planes[0].astype(np.float32) - 16) / 219
        blue, red = (
            (plane.repeat(2, 0).repeat(2, 1).astype(np.float32) - 128) / 224 for plane in self.planes[1:]
        )
        channels = (luma + 1.5748 * red, luma - 0.187324 * blue - 0.468124 * red, luma + 1.8556 * blue)
        rgb = np.clip(np.stack(channels, 2) * 255 + 0.5, 0, 255).astype(np.uint8)
        held = io.BytesIO()
        Image.fromarray(rgb).save(held, "png")
        return held.getvalue()


def _blank(paper: tuple[int, int, int]) -> list[np.ndarray]:
    try:
        import numpy as np
        import PIL.Image  # noqa: F401  (drawing needs both; said here, once)
    except ImportError as reason:
        raise EntryError(
            "video needs numpy and Pillow, which are not installed; run: pip install 'chalkpoint[video]'"
        ) from reason
    return [
        np.full((HEIGHT, WIDTH), paper[0], np.uint8),
        np.full((HEIGHT // 2, WIDTH // 2), paper[1], np.uint8),
        np.full((HEIGHT // 2, WIDTH // 2), paper[2], np.uint8),
    ]
