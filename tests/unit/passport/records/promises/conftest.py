"""Disks of our own to cut off, fill and lock; runs of scripts that kill themselves."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

HERE = Path(__file__).parent
Run = Callable[..., dict]


@pytest.fixture
def run_script(tmp_path: Path) -> Run:
    def run(script: str, *words: object, on: str = "") -> dict:
        done = subprocess.run(
            [sys.executable, str(HERE / script), *map(str, words)],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, "TABLE_PASSPORT_TEST_RUN_ON": on},
        )
        assert done.returncode == 0, done.stderr
        return json.loads(done.stdout.splitlines()[-1])

    return run


def _mounted(*words: object) -> bool:
    done = subprocess.run(["mount", *map(str, words)], capture_output=True, check=False)
    return done.returncode == 0


@pytest.fixture
def disk(tmp_path: Path) -> Iterator[Path]:
    """Mount a small ext4 disk from a file beside it; skip where mounting is not allowed."""
    image, folder = tmp_path / "disk.img", tmp_path / "disk"
    folder.mkdir()
    with image.open("wb") as raw:
        raw.truncate(32 * 2**20)
    made = subprocess.run(
        ["/sbin/mkfs.ext4", "-q", "-F", str(image)], capture_output=True, check=False
    )
    if os.geteuid() != 0 or made.returncode or not _mounted("-o", "loop", image, folder):
        pytest.skip("this machine does not allow a loop-mounted disk: no power cuts, no full disk")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=True)
