"""The bench of the reader: its modules are imported as ``reading.…``."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))
