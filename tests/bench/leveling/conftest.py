"""Halls of invented tables: the simulator's modules are imported as ``leveling.…``."""

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))
