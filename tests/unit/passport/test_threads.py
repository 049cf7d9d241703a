"""Small matrices are not shared out among threads: on a busy machine those wait for each other."""

import os
import subprocess
import sys

import pytest

COUNT = """
import passport.leveling.seasons
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("Threads:")))
"""


def threads(**said: str) -> int:
    kept = {name: value for name, value in os.environ.items() if name != "OPENBLAS_NUM_THREADS"}
    words = [sys.executable, "-c", COUNT]
    done = subprocess.run(words, env=kept | said, capture_output=True, text=True, check=True)
    return int(done.stdout)


def test_the_calculator_has_one_thread():
    assert threads() == 1


@pytest.mark.skipif(os.cpu_count() == 1, reason="one core: numpy starts no thread by itself")
def test_whoever_wants_more_says_so():
    assert threads(OPENBLAS_NUM_THREADS="2") > 1
