"""Training of the small network, with PyTorch on one thread; reading needs none of it, only the weights."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
import numpy.typing as npt

from chalkpoint.scanning.network import INK, LAYERS, POOL_HIGH, POOL_WIDE, Array, Weights
from chalkpoint.scanning.reader import GUESSES, NAMES

__all__ = ["Example", "learned", "together"]

CHANNELS = (2, 16, 32, 64, 64)
POOLED = CHANNELS[-1] * (8 // POOL_HIGH) * (6 // POOL_WIDE) + 1
HIDDEN = 64
CLASSES = len(NAMES) + len(GUESSES)
BATCH, RATE, DECAY = 128, 2.5e-3, 0.01
BEND = 0.035  # of half a crop
#: Crops whose loss was below EASY when last seen are learned from SHARE of the time, and then count the more.
EASY, SHARE = 0.01, 0.25


@dataclass(frozen=True, slots=True, eq=False)
class Example:
    """What is learned from: crops, the tone of each one's page, its class (`reader` has them), its weight."""

    x: npt.NDArray[np.uint8]
    tone: Array
    label: npt.NDArray[np.int64]
    weight: Array


def together(parts: Sequence[Example]) -> Example:
    """Return several examples as one."""
    return Example(*(np.concatenate([getattr(part, one.name) for part in parts]) for one in fields(Example)))


def learned(example: Example, *, seed: int, epochs: int) -> Weights:
    """Return the weights of a network that learned from *example*: the same for the same seed, machine and PyTorch."""
    import torch
    from torch.nn import functional

    torch.set_num_threads(1)
    torch.set_flush_denormal(True)  # what is nearly 0 would take four times as long
    torch.use_deterministic_algorithms(mode=True)
    draw = np.random.default_rng([seed, 1])
    x, tone, label, weight = (
        torch.frombuffer(getattr(example, one), dtype=kind).view(getattr(example, one).shape)
        for one, kind in (
            ("x", torch.uint8), ("tone", torch.float32), ("label", torch.int64), ("weight", torch.float32),
        )
    )  # fmt: skip

    def given(values: Array) -> torch.Tensor:
        flat = np.ascontiguousarray(values)
        return torch.frombuffer(flat, dtype=torch.float32).view(flat.shape).clone()

    weights = {name: given(value).requires_grad_() for name, value in first_weights(draw).items()}

    def scores(x: torch.Tensor, tone: torch.Tensor) -> torch.Tensor:
        for name, side, stride in LAYERS:
            kernel = weights[f"{name}.w"].view(side, side, x.shape[1], -1).permute(3, 2, 0, 1)
            kernel = kernel.contiguous(memory_format=torch.channels_last)
            x = functional.relu(functional.conv2d(x, kernel, weights[f"{name}.b"], stride, side // 2))
        pooled = functional.avg_pool2d(x, (POOL_HIGH, POOL_WIDE)).permute(0, 2, 3, 1).flatten(1)
        features = torch.cat([pooled, tone[:, None]], 1)
        hidden = functional.relu(features @ weights["f1.w"] + weights["f1.b"])
        return hidden @ weights["f2.w"] + weights["f2.b"]

    last, step, begun = np.ones(len(example.x), np.float32), 0, time.process_time()
    optimiser = torch.optim.AdamW(list(weights.values()), lr=RATE, weight_decay=DECAY)
    for epoch in range(1, epochs + 1):
        order, losses = (
            draw.permutation(np.flatnonzero((last > EASY) | (draw.random(len(last)) < SHARE))),
            0.0,
        )
        batches = len(order) // BATCH
        for at in range(batches):
            these = order[at * BATCH : (at + 1) * BATCH]
            chosen = torch.tensor(these.tolist())
            counts = given(np.where(last[these] > EASY, 1, 1 / SHARE).astype(np.float32))
            step, done = step + 1, (epoch - 1 + at / batches) / epochs
            for group in optimiser.param_groups:
                group["lr"] = RATE * min(1, step / 200) * (0.5 + 0.5 * np.cos(np.pi * done)) + 1e-5
            gain = given(draw.uniform(0.85, 1.15, BATCH).astype(np.float32))
            seen = x[chosen].float() * (INK / 255)
            seen[:, 0] *= gain[:, None, None]
            moved = functional.affine_grid(given(_moves(draw)), [BATCH, 2, *x.shape[2:]], align_corners=False)
            bent = functional.interpolate(given(_bends(draw)), tuple(x.shape[2:]), mode="bicubic")
            moved = moved + bent.permute(0, 2, 3, 1)
            seen = functional.grid_sample(seen, moved, padding_mode="border", align_corners=False)
            seen = seen.contiguous(memory_format=torch.channels_last)
            loss = functional.cross_entropy(
                scores(seen, tone[chosen] * gain), label[chosen], reduction="none"
            )
            last[these] = loss.tolist()
            mean = (loss * weight[chosen] * counts).sum() / counts.sum()
            optimiser.zero_grad()
            mean.backward()
            optimiser.step()
            losses += float(mean)
        spent = time.process_time() - begun
        loss_now = losses / max(batches, 1)
        print(
            f"seed {seed}, epoch {epoch}: {len(order)} crops, loss {loss_now:.4f}, {spent:.0f} s of processor time",
            flush=True,
        )
    return {name: np.array(value.tolist(), np.float32) for name, value in weights.items()}


def first_weights(draw: np.random.Generator) -> Weights:
    """Return weights to begin with (He and others, 2015)."""
    weights: Weights = {}

    def layer(name: str, inputs: int, outputs: int) -> None:
        weights[f"{name}.w"] = draw.normal(0, np.sqrt(2 / inputs), (inputs, outputs)).astype(np.float32)
        weights[f"{name}.b"] = np.zeros(outputs, np.float32)

    for at, (name, side, _) in enumerate(LAYERS):
        layer(name, side**2 * CHANNELS[at], CHANNELS[at + 1])
    layer("f1", POOLED, HIDDEN)
    layer("f2", HIDDEN, CLASSES)
    return weights


def _moves(draw: np.random.Generator) -> Array:
    """Return how each crop of a batch is moved, turned, leant and sized a little, as (batch, 2, 3)."""
    moves = np.zeros((BATCH, 2, 3), np.float32)
    moves[:, 0, 0], moves[:, 1, 1] = draw.uniform(0.93, 1.07, (2, BATCH))
    moves[:, 0, 1], moves[:, 1, 0] = draw.uniform(-0.08, 0.08, (2, BATCH))
    moves[:, 0, 2], moves[:, 1, 2] = draw.uniform(-0.06, 0.06, BATCH), draw.uniform(-0.04, 0.04, BATCH)
    return moves


def _bends(draw: np.random.Generator) -> Array:
    """Return how each crop of a batch is bent, at a few places of it: shapes that no writer of the data has."""
    return draw.normal(0, BEND, (BATCH, 2, 5, 4)).astype(np.float32)
