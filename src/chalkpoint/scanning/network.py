"""A small convolutional network in numpy: what a crop shows, as four scores. Its training is in `training/`."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

__all__ = ["LAYERS", "Weights", "forward", "gathered", "inputs_of", "scores_of"]

Array = npt.NDArray[np.float32]
Weights = dict[str, Array]

#: The convolutions: name, side of the kernel, stride, padding.
LAYERS = (("c1", 5, 2, 2), ("c2", 3, 2, 1), ("c3", 3, 2, 1), ("c4", 3, 1, 1))
INK = 4.0  # what black is as an input: most of a crop is paper, so ink must weigh more than 1
POOL_HIGH, POOL_WIDE = 4, 2
AT_ONCE = 128  # crops


def inputs_of(crops: npt.NDArray[np.uint8]) -> Array:
    """Return crops (n, 2, high, wide) as the network takes them: (n, high, wide, 2) in 0..INK."""
    return np.ascontiguousarray(crops.transpose(0, 2, 3, 1)).astype(np.float32) * np.float32(INK / 255)


def gathered(x: Array, side: int, stride: int, padding: int) -> Array:
    """Return the neighbourhood of every place that a convolution looks at: (n, high, wide, side*side*channels)."""
    n, high, wide, channels = x.shape
    padded = np.zeros((n, high + 2 * padding, wide + 2 * padding, channels), np.float32)
    padded[:, padding : padding + high, padding : padding + wide] = x
    down, across = (high + 2 * padding - side) // stride + 1, (wide + 2 * padding - side) // stride + 1
    found = np.empty((n, down, across, side * side, channels), np.float32)
    for at in range(side * side):
        row, column = divmod(at, side)
        found[:, :, :, at] = padded[
            :, row : row + stride * down : stride, column : column + stride * across : stride
        ]
    return found.reshape(n, down, across, side * side * channels)


def pooled(x: Array) -> Array:
    """Return the mean over blocks of places, laid out flat."""
    n, high, wide, channels = x.shape
    high, wide = high // POOL_HIGH, wide // POOL_WIDE
    cut = x[:, : high * POOL_HIGH, : wide * POOL_WIDE]
    blocks = cut.reshape(n, high, POOL_HIGH, wide, POOL_WIDE, channels)
    return blocks.mean((2, 4)).reshape(n, -1)


def forward(weights: Weights, x: Array, tones: Array) -> Array:
    """Return the scores of 0, 1, blank and marred for crops *x* of pages with these *tones*."""
    for name, side, stride, padding in LAYERS:
        x = np.maximum(gathered(x, side, stride, padding) @ weights[f"{name}.w"] + weights[f"{name}.b"], 0)
    features = np.concatenate([pooled(x), tones[:, None]], 1)
    hidden = np.maximum(features @ weights["f1.w"] + weights["f1.b"], 0)
    return hidden @ weights["f2.w"] + weights["f2.b"]


def scores_of(networks: list[Weights], crops: npt.NDArray[np.uint8], tones: Array) -> Array:
    """Return the probabilities that each network gives each crop: (networks, crops, 4)."""
    found = np.zeros((len(networks), len(crops), 4), np.float32)
    for first in range(0, len(crops), AT_ONCE):
        part = slice(first, first + AT_ONCE)
        x = inputs_of(crops[part])
        for at, weights in enumerate(networks):
            found[at, part] = _shares(forward(weights, x, tones[part]))
    return found


def _shares(scores: Array) -> Array:
    raised = np.exp(scores - scores.max(1, keepdims=True))
    return raised / raised.sum(1, keepdims=True)
