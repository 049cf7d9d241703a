"""How the cost of each thing grows with the store; the full size is made by the script alone."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).with_name("records_size.py")
SIZES = (1_000, 10_000)
VISITS = 20
SOON_MS = 200  # due list, search and a table's page, whatever the size


def costs(folder: Path, tables: int, visits: int) -> dict[str, float]:
    words = [sys.executable, SCRIPT, folder / f"{tables}", tables, visits]
    done = subprocess.run(list(map(str, words)), capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


@pytest.mark.long
def test_what_the_office_does_all_day_does_not_grow_with_the_store(tmp_path, share, show):
    visits = max(2, round(VISITS * share))

    small, large = (costs(tmp_path, tables, visits) for tables in SIZES)

    show(f"{visits} visits a table; {SIZES[0]} tables, {SIZES[1]} tables, growth")
    for name in small:
        show(f"{name:24} {small[name]:10.1f} {large[name]:10.1f} {large[name] / small[name]:8.2f}")
    assert large["intake"] < 3 * small["intake"] + 5
    daily = ("due list", "search", "search, nothing found", "a table's forms", "to reckon")
    assert {name: large[name] for name in daily if large[name] > SOON_MS} == {}
