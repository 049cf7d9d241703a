"""How the cost of each thing grows with the store; the full size is made by the script alone.

By default a tenth of the visits, in 1,000 and 3,000 tables; ``tests/run --long`` makes 1,000 and
10,000 tables with 20 visits each. The whole size (100,000 tables, 2,000,000 visits) is a matter of
half an hour and 35 GB: ``.venv/bin/python tests/bench/records_size.py HOME 100000 20``.
"""

import json
import subprocess
import sys
from pathlib import Path

SCRIPT = Path(__file__).with_name("records_size.py")
VISITS = 20
SOON_MS = 200  # due list, search and a table's page, whatever the size
DAILY = (
    "due list, first after an intake",
    "due list",
    "a table's page, first after an intake",
    "search",
    "search, nothing found",
)


def costs(folder: Path, tables: int, visits: int) -> dict[str, float]:
    words = [sys.executable, SCRIPT, folder / f"{tables}", tables, visits]
    done = subprocess.run(list(map(str, words)), capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def test_what_the_office_does_all_day_does_not_grow_with_the_store(tmp_path, share, show):
    visits = max(2, round(VISITS * share))
    sizes = (1_000, 10_000 if share == 1 else 3_000)

    small, large = (costs(tmp_path, tables, visits) for tables in sizes)

    show(f"{visits} visits a table; {sizes[0]} tables, {sizes[1]} tables, growth")
    for name in small:
        show(f"{name:38} {small[name]:10.1f} {large[name]:10.1f} {large[name] / small[name]:8.2f}")
    assert large["intake"] < 3 * small["intake"] + 5
    assert {name: large[name] for name in DAILY if large[name] > SOON_MS} == {}
