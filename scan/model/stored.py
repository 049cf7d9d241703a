"""The networks as one file: an ONNX graph that ``cv2.dnn`` runs, its weights in two bytes each."""

import importlib
from collections.abc import Sequence
from typing import Any

import numpy as np

from scan.glyph import SIDE
from scan.network import scores_of


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
            self.pack(np.ascontiguousarray(array, np.float16), f"w{at}_{index}")
            for index, array in enumerate(arrays)
        ]
        inputs = [self.last, *(tensor.name for tensor in tensors)]
        self.last = out or f"t{at}"
        self.weights += tensors
        self.nodes.append(self.make.make_node(kind, inputs, [self.last], **options))


def to_onnx(torch: Any, nets: Sequence[Any]) -> bytes:
    """Write chains of layers side by side, their normalisations folded into the convolutions.

    The first one's last but one dense layer gives ``features``; each one's last gives ``scores 0``,
    ``scores 1`` and so on.
    """
    onnx = importlib.import_module("onnx")
    graph = _Graph(onnx)
    for number, net in enumerate(nets):
        _add_chain(torch, graph, net, number)
    return _packed(onnx, graph, len(nets))


def _add_chain(torch: Any, graph: _Graph, net: Any, number: int) -> None:
    nn, layers = torch.nn, list(net)
    last = max(at for at, layer in enumerate(layers) if isinstance(layer, nn.ReLU))
    graph.last = "pictures"
    for at, layer in enumerate(layers):
        match layer:
            case nn.Conv2d():
                _add_convolution(torch, graph, layer, layers[at + 1])
            case nn.ReLU():
                graph.add("Relu", out="features" if at == last and not number else "")
            case nn.MaxPool2d():
                graph.add("MaxPool", kernel_shape=[2, 2], strides=[2, 2])
            case nn.Flatten():
                graph.add("Flatten", axis=1)
            case nn.Linear():
                out = scores_of(number) if layer is layers[-1] else ""
                graph.add("Gemm", *_arrays(layer), transB=1, out=out)


def _add_convolution(torch: Any, graph: _Graph, layer: Any, normal: Any) -> None:
    side, stride = layer.kernel_size[0], layer.stride[0]
    folded = torch.nn.utils.fusion.fuse_conv_bn_eval(layer, normal)
    graph.add(
        "Conv",
        *_arrays(folded),
        kernel_shape=[side] * 2,
        pads=[side // 2] * 4,
        strides=[stride] * 2,
    )


def _arrays(layer: Any) -> tuple[np.ndarray, np.ndarray]:
    return layer.weight.detach().numpy(), layer.bias.detach().numpy()


def _packed(onnx: Any, graph: _Graph, count: int) -> bytes:
    shapes = {"pictures": [None, 1, SIDE, SIDE], "features": [None, 64]}
    shapes |= {scores_of(number): [None, 11] for number in range(count)}
    pictures, *outputs = (
        onnx.helper.make_tensor_value_info(name, onnx.TensorProto.FLOAT, shape)
        for name, shape in shapes.items()
    )
    whole = onnx.helper.make_graph(graph.nodes, "digits", [pictures], outputs, graph.weights)
    opset = onnx.helper.make_opsetid("", 13)
    model = onnx.helper.make_model(whole, opset_imports=[opset], ir_version=8)
    return bytes(model.SerializeToString())
