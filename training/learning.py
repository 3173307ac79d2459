"""Training of the small network in numpy alone, so that a school can repeat it with what reading needs anyway."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.network import (
    LAYERS,
    POOL_HIGH,
    POOL_WIDE,
    Array,
    Weights,
    gathered,
    inputs_of,
    pooled,
)

__all__ = ["Example", "first_weights", "learned"]

CHANNELS = {"c1": (2, 12), "c2": (12, 24), "c3": (24, 40), "c4": (40, 40)}
SIDES = {name: side for name, side, _, _ in LAYERS}
POOLED = 40 * (8 // POOL_HIGH) * (6 // POOL_WIDE) + 1
HIDDEN, CLASSES = 48, 4
BATCH, RATE, DECAY = 64, 2e-3, 0.01


@dataclass(frozen=True, slots=True, eq=False)
class Example:
    """What is learned from: crops, the tone of each one's page, its class (0, 1, 2 blank, 3 marred), its weight."""

    x: npt.NDArray[np.uint8]
    tone: Array
    label: npt.NDArray[np.int64]
    weight: Array


def first_weights(draw: np.random.Generator) -> Weights:
    """Return weights to begin with (He and others, 2015)."""
    weights: Weights = {}

    def layer(name: str, inputs: int, outputs: int) -> None:
        weights[f"{name}.w"] = draw.normal(0, np.sqrt(2 / inputs), (inputs, outputs)).astype(np.float32)
        weights[f"{name}.b"] = np.zeros(outputs, np.float32)

    for name, (inputs, outputs) in CHANNELS.items():
        layer(name, SIDES[name] ** 2 * inputs, outputs)
    layer("f1", POOLED, HIDDEN)
    layer("f2", HIDDEN, CLASSES)
    return weights


def learned(examples: Example, *, seed: int, epochs: int) -> Iterator[tuple[int, float, Weights]]:
    """Yield (epoch, mean loss, weights) as they are learned; the last weights are the result."""
    draw = np.random.default_rng([seed, 1])
    weights = first_weights(draw)
    first = {name: np.zeros_like(value) for name, value in weights.items()}
    second = {name: np.zeros_like(value) for name, value in weights.items()}
    count, step = len(examples.x), 0
    steps = epochs * (count // BATCH)
    for epoch in range(1, epochs + 1):
        order, losses = draw.permutation(count), []
        for at in range(count // BATCH):
            chosen = order[at * BATCH : (at + 1) * BATCH]
            loss, slopes = _slopes(weights, examples, chosen, draw)
            losses.append(loss)
            step += 1
            rate = RATE * min(1, step / 100) * (0.5 + 0.5 * np.cos(np.pi * step / steps)) + 1e-5
            for name, slope in slopes.items():  # Adam with decoupled decay (Loshchilov and Hutter, 2019)
                first[name] += 0.1 * (slope - first[name])
                second[name] += 0.001 * (slope * slope - second[name])
                mean, spread = first[name] / (1 - 0.9**step), second[name] / (1 - 0.999**step)
                weights[name] -= rate * (mean / (np.sqrt(spread) + 1e-8) + DECAY * weights[name])
        yield epoch, float(np.mean(losses)), weights


def _slopes(
    weights: Weights, examples: Example, chosen: npt.NDArray[np.int64], draw: np.random.Generator
) -> tuple[float, Weights]:
    """Return the loss of one batch, moved and darkened a little, and its slope by each weight."""
    down, along = (int(one) for one in draw.integers(-1, 2, 2))
    x = np.roll(inputs_of(examples.x[chosen]), (down, along), (1, 2))
    gain = draw.uniform(0.85, 1.15, len(chosen)).astype(np.float32)
    x[..., 0] *= gain[:, None, None]
    tone, label = examples.tone[chosen] * gain, examples.label[chosen]

    seen, outputs = [], []
    for name, side, stride, padding in LAYERS:
        places = gathered(x, side, stride, padding)
        seen.append((places, x.shape))
        x = np.maximum(places @ weights[f"{name}.w"] + weights[f"{name}.b"], 0)
        outputs.append(x)
    features = np.concatenate([pooled(x), tone[:, None]], 1)
    hidden = np.maximum(features @ weights["f1.w"] + weights["f1.b"], 0)
    scores = hidden @ weights["f2.w"] + weights["f2.b"]

    shares = np.exp(scores - scores.max(1, keepdims=True))
    shares /= shares.sum(1, keepdims=True)
    weight = examples.weight[chosen] / len(chosen)
    loss = float(-(weight * np.log(shares[np.arange(len(label)), label] + 1e-12)).sum())

    back = shares.copy()
    back[np.arange(len(label)), label] -= 1
    back *= weight[:, None]
    slopes: Weights = {"f2.w": hidden.T @ back, "f2.b": back.sum(0)}
    back = (back @ weights["f2.w"].T) * (hidden > 0)
    slopes |= {"f1.w": features.T @ back, "f1.b": back.sum(0)}
    spread = _unpooled((back @ weights["f1.w"].T)[:, :-1], outputs[-1].shape)
    for (name, side, stride, padding), (places, shape), output in reversed(
        list(zip(LAYERS, seen, outputs, strict=True))
    ):
        spread = spread * (output > 0)
        flat = spread.reshape(-1, spread.shape[-1])
        slopes[f"{name}.w"] = places.reshape(-1, places.shape[-1]).T @ flat
        slopes[f"{name}.b"] = flat.sum(0)
        if name != LAYERS[0][0]:
            spread = _scattered(spread @ weights[f"{name}.w"].T, shape, side, stride, padding)
    return loss, slopes


def _unpooled(back: Array, shape: tuple[int, ...]) -> Array:
    n, high, wide, channels = shape
    blocks = back.reshape(n, high // POOL_HIGH, 1, wide // POOL_WIDE, 1, channels) / (POOL_HIGH * POOL_WIDE)
    whole = np.broadcast_to(blocks, (n, high // POOL_HIGH, POOL_HIGH, wide // POOL_WIDE, POOL_WIDE, channels))
    return whole.reshape(n, high // POOL_HIGH * POOL_HIGH, wide // POOL_WIDE * POOL_WIDE, channels)


def _scattered(back: Array, shape: tuple[int, ...], side: int, stride: int, padding: int) -> Array:
    """Return slopes of neighbourhoods added up at the places they came from."""
    n, high, wide, channels = shape
    down, across = back.shape[1:3]
    parts = back.reshape(n, down, across, side * side, channels)
    found = np.zeros((n, high + 2 * padding, wide + 2 * padding, channels), np.float32)
    for at in range(side * side):
        row, column = divmod(at, side)
        found[:, row : row + stride * down : stride, column : column + stride * across : stride] += parts[
            :, :, :, at
        ]
    return found[:, padding : padding + high, padding : padding + wide]
