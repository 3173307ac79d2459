"""Scanners, a photocopier and three phones: what becomes of a page of paper on its way into a file."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from pens import SCALE

from chalkpoint.scanning.vision import cv2

__all__ = ["CAPTURES", "Capture", "seen", "taken"]

Grey = npt.NDArray[np.uint8]
Paper = npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Capture:
    """A way of taking a page.

    scale     px/mm
    blur      px; `shake` px of movement
    shade     how much light falls off over the page; `shadow` of a hand or an edge
    lean      perspective; `turn` in radians; `bow` of the paper
    """

    scale: float
    blur: float
    shake: float
    noise: float
    shade: float
    shadow: float
    quality: int
    lean: float = 0.001
    turn: float = 0.02
    bow: float = 0.0005

    @property
    def is_phone(self) -> bool:
        """Whether a hand holds it, so that the page is not the whole picture."""
        return self.lean > 0.01


CAPTURES = {
    "scan 300": Capture(11.81, 0.6, 0.0, 0.010, 0.03, 0.0, 90),
    "scan 200": Capture(7.87, 0.6, 0.0, 0.015, 0.04, 0.0, 75),
    "photocopy": Capture(11.81, 0.7, 0.0, 0.020, 0.05, 0.0, 80),
    "phone 1": Capture(12.0, 0.9, 0.0, 0.015, 0.15, 0.0, 88, 0.02, 0.03, 0.0015),
    "phone 2": Capture(11.0, 1.5, 2.0, 0.030, 0.35, 0.25, 75, 0.06, 0.09, 0.004),
    "phone 3": Capture(8.5, 1.7, 3.5, 0.050, 0.50, 0.45, 50, 0.10, 0.18, 0.008),
}
SENSORS = {"phone 1": (3000, 4000), "phone 2": (3000, 4000), "phone 3": (2250, 3000)}


def seen(picture: Paper, name: str, draw: np.random.Generator) -> Grey:
    """Return a picture of the right size as *name* records it: toner, light, blur, noise, compression."""
    how = CAPTURES[name]
    high, wide = picture.shape
    toner, paper = draw.uniform(0.04, 0.16), draw.uniform(0.82, 0.97)
    picture = (toner + (paper - toner) * picture).astype(np.float32)
    if name != "scan 200" and draw.random() < 0.5:  # the back of the sheet shines through
        picture -= draw.uniform(0, 0.03) * (1 - picture[:, ::-1])
    picture *= _light(high, wide, how, draw)
    picture = cv2.GaussianBlur(picture, (0, 0), how.blur * draw.uniform(0.6, 1.25))
    if how.shake:
        picture = cv2.filter2D(picture, -1, _shake(how.shake, draw))
    rough = draw.standard_normal((high, wide), dtype=np.float32)
    picture += (
        np.float32(how.noise * draw.uniform(0.5, 1.15)) * rough * np.sqrt(0.3 + 0.7 * np.clip(picture, 0, 1))
    )
    if name == "photocopy":
        picture = _copied(picture, draw)
    quality = int(np.clip(how.quality + draw.integers(-8, 6), 20, 97))
    packed = cv2.imencode(
        ".jpg", np.clip(picture * 255, 0, 255).astype(np.uint8), [cv2.IMWRITE_JPEG_QUALITY, quality]
    )
    return cv2.imdecode(packed[1], cv2.IMREAD_GRAYSCALE)


def _copied(picture: Paper, draw: np.random.Generator) -> Paper:
    """Hard contrast, pepper, thin strokes lost; then scanned."""
    high, wide = picture.shape
    edge = draw.uniform(0.45, 0.75)
    picture = (1 / (1 + np.exp(-(picture - edge) * draw.uniform(9, 20)))).astype(np.float32)
    pepper = draw.random((high // 3 + 1, wide // 3 + 1), dtype=np.float32) > 0.9992
    picture -= np.float32(0.7) * cv2.resize(pepper.astype(np.float32), (wide, high))
    picture = cv2.GaussianBlur(picture, (0, 0), 0.7)
    return picture + np.float32(0.012) * draw.standard_normal((high, wide), dtype=np.float32)


def _light(high: int, wide: int, how: Capture, draw: np.random.Generator) -> Paper:
    down, along = np.mgrid[0:24, 0:40] / np.array([24, 40]).reshape(2, 1, 1)
    turn = draw.uniform(0, 6.28)
    falls = np.clip(0.5 + (along - 0.5) * np.cos(turn) + (down - 0.5) * np.sin(turn), 0, 1)
    light = 1 - how.shade * draw.uniform(0.4, 1) * falls
    if how.shadow and draw.random() < 0.7:
        turn = draw.uniform(0, 6.28)
        far = (along - 0.5) * np.cos(turn) + (down - 0.5) * np.sin(turn) - draw.uniform(-0.35, 0.35)
        light = light * (1 - how.shadow * draw.uniform(0.3, 1) / (1 + np.exp(-far * draw.uniform(10, 60))))
    return cv2.resize(light.astype(np.float32), (wide, high))


def _shake(most: float, draw: np.random.Generator) -> Paper:
    side = 2 * int(most + 1) + 1
    kernel = np.zeros((side, side), np.float32)
    angle, length, middle = draw.uniform(0, 3.14), most * draw.uniform(0.2, 1), side / 2 - 0.5
    a, b = length * np.cos(angle), length * np.sin(angle)
    ends = (round(middle - a), round(middle - b)), (round(middle + a), round(middle + b))
    cv2.line(kernel, *ends, 1)
    return kernel / kernel.sum()


def taken(page: Paper, name: str, draw: np.random.Generator, turns: int = 0) -> Grey:
    """Return a whole page (1 paper, 0 toner, at SCALE px/mm) as *name* takes it, turned by quarter *turns*."""
    how = CAPTURES[name]
    high, wide = page.shape
    mm_wide, mm_high = wide / SCALE, high / SCALE
    if how.is_phone:
        across, down = SENSORS[name]
        fills = draw.uniform(0.86, 0.95)
    else:
        across, down, fills = int(mm_wide * how.scale), int(mm_high * how.scale), 0.985
    width = min(across * fills, down * fills * mm_wide / mm_high)
    half = np.array([width / 2, width / 2 * mm_high / mm_wide])
    corners = (
        half
        * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
        * (1 + draw.uniform(-how.lean, how.lean, (4, 2)))
    )
    angle = float(np.clip(draw.normal(0, how.turn / 2), -how.turn, how.turn))
    c, s = np.cos(angle), np.sin(angle)
    corners = corners @ np.array([[c, s], [-s, c]])
    fits = min(1.0, 0.49 * across / abs(corners[:, 0]).max(), 0.49 * down / abs(corners[:, 1]).max())
    placed = (corners * fits + [across / 2, down / 2]).astype(np.float32)
    back = cv2.getPerspectiveTransform(
        placed, np.array([[0, 0], [wide, 0], [wide, high], [0, high]], np.float32)
    )
    rows, columns = np.mgrid[0:81, 0:61].astype(np.float64)
    points = np.stack([columns * across / 60, rows * down / 80, np.ones_like(rows)], -1) @ back.T
    x, y = points[..., 0] / points[..., 2], points[..., 1] / points[..., 2]
    bow, (p, q), (f, g) = how.bow * draw.uniform(0.3, 1), draw.uniform(0, 6.28, 2), draw.uniform(0.5, 1.3, 2)
    x, y = x + wide * bow * np.sin(6.28 * f * y / high + p), y + high * bow * np.sin(6.28 * g * x / wide + q)
    maps = (cv2.resize(one.astype(np.float32), (across, down)) for one in (x, y))
    around = 0.3 if how.is_phone else 1.0
    flat = cv2.remap(page, *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=around)
    return np.ascontiguousarray(np.rot90(seen(flat, name, draw), turns))
