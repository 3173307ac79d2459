"""A small convolutional network in numpy: a score for each class that a crop may be of; trained in `training/`."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["LAYERS", "Weights", "convolved", "forward", "inputs_of", "scores_of"]

Array = npt.NDArray[np.float32]
Weights = dict[str, Array]

#: The convolutions: name, side of the kernel, stride; around a picture are as many zeros as half a kernel reaches.
LAYERS = (("c1", 5, 2), ("c2", 3, 2), ("c3", 3, 2), ("c4", 3, 1))
INK = 4.0  # what black is as an input: most of a crop is paper, so ink must weigh more than 1
POOL_HIGH, POOL_WIDE = 4, 2
AT_ONCE = 128  # crops


def inputs_of(crops: npt.NDArray[np.uint8]) -> Array:
    """Return crops (n, 2, high, wide) as the network takes them: (n, high, wide, 2) in 0..INK."""
    return np.ascontiguousarray(crops.transpose(0, 2, 3, 1)).astype(np.float32) * np.float32(INK / 255)


def gathered(x: Array, side: int, stride: int) -> Array:
    """Return what a convolution looks at: a row of side*side*channels values for each place that it gives one of."""
    n, high, wide, channels = x.shape
    padding = side // 2
    padded = np.zeros((n, high + 2 * padding, wide + 2 * padding, channels), np.float32)
    padded[:, padding : padding + high, padding : padding + wide] = x
    down, across = -(-high // stride), -(-wide // stride)
    a_picture, a_row, a_place, a_value = padded.strides
    windows = np.lib.stride_tricks.as_strided(  # in a row of a window, places lie one after another
        padded,
        (n, down, across, side, side * channels),
        (a_picture, stride * a_row, stride * a_place, a_row, a_value),
        writeable=False,
    )
    return windows.reshape(n * down * across, side * side * channels)


def convolved(x: Array, weights: Weights, name: str, side: int, stride: int) -> tuple[Array, Array]:
    """Return what one convolution looked at (as `gathered`) and what it gives, nothing below 0."""
    n, high, wide, _ = x.shape
    places = gathered(x, side, stride)
    found = places @ weights[f"{name}.w"]  # one large product: many small ones take several times as long
    found += weights[f"{name}.b"]
    np.maximum(found, 0, out=found)
    return places, found.reshape(n, -(-high // stride), -(-wide // stride), -1)


def pooled(x: Array) -> Array:
    """Return the mean over blocks of places, laid out flat."""
    n, high, wide, channels = x.shape
    high, wide = high // POOL_HIGH, wide // POOL_WIDE
    cut = x[:, : high * POOL_HIGH, : wide * POOL_WIDE]
    blocks = cut.reshape(n, high, POOL_HIGH, wide, POOL_WIDE, channels)
    return blocks.mean((2, 4)).reshape(n, -1)


def forward(weights: Weights, x: Array, tones: Array) -> Array:
    """Return the scores of the classes (those of `reader`) for crops *x* of pages with these *tones*."""
    for layer in LAYERS:
        _, x = convolved(x, weights, *layer)
    features = np.concatenate([pooled(x), tones[:, None]], 1)
    hidden = np.maximum(features @ weights["f1.w"] + weights["f1.b"], 0)
    return hidden @ weights["f2.w"] + weights["f2.b"]


def scores_of(networks: list[Weights], crops: npt.NDArray[np.uint8], tones: Array) -> Array:
    """Return the probabilities that each network gives each crop: (networks, crops, classes)."""
    found = np.zeros((len(networks), len(crops), len(networks[0]["f2.b"])), np.float32)
    for first in range(0, len(crops), AT_ONCE):
        part = slice(first, first + AT_ONCE)
        x = inputs_of(crops[part])
        for at, weights in enumerate(networks):
            found[at, part] = _shares(forward(weights, x, tones[part]))
    return found


def _shares(scores: Array) -> Array:
    raised = np.exp(scores - scores.max(1, keepdims=True))
    return raised / raised.sum(1, keepdims=True)
