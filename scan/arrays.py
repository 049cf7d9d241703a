"""Array types: grey pictures, darkness, points."""

import numpy as np
from numpy.typing import NDArray

Grey = NDArray[np.uint8]  # (H, W), 0 black to 255 white
Floats = NDArray[np.float32]  # (H, W) darkness, 0 paper to 1 black
Points = NDArray[np.float64]  # (N, 2), x and y
