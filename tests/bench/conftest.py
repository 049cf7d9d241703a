"""Measure a step in a process of its own: processor time, peak memory; one thread in libraries."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from textwrap import dedent

import pytest

sys.path.append(str(Path(__file__).parent))  # benches import what makes and times their stores
ONE_THREAD = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "OPENCV_FOR_THREADS_NUM": "1"}
FRAME = """
import json, statistics, sys, time

def seconds(step, runs=5):
    step()
    took = []
    for _ in range(runs):
        start = time.process_time()
        step()
        took.append(time.process_time() - start)
    return statistics.median(took)

found = {}
"""
END = """
# The kernel's high-water mark of this program alone; ru_maxrss begins with that of the parent.
status = dict(line.split(":", 1) for line in open("/proc/self/status"))
found["peak_mb"] = int(status["VmHWM"].split()[0]) / 1024
print(json.dumps(found))
"""

Measured = Callable[..., dict[str, float]]


@pytest.fixture
def measured() -> Measured:
    def run(body: str, *words: str) -> dict[str, float]:
        done = subprocess.run(
            [sys.executable, "-c", FRAME + dedent(body) + END, *words],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, **ONE_THREAD},
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout.splitlines()[-1])

    return run


@pytest.fixture
def show(capsys: pytest.CaptureFixture[str]) -> Callable[[str], None]:
    """Print past the capture: a bench is for its figures."""

    def out(line: str) -> None:
        with capsys.disabled():
            print(f"\n  {line}", end="")

    return out
