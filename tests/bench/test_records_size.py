"""How the cost of each thing grows with the store; the full size is made by the script alone.

1,000 and 10,000 tables with 20 visits each: a tenth. The whole size (100,000 tables, 2,000,000
visits) takes 15 to 20 minutes on a quiet machine to make and as long to verify, and 25 GB:
``tests/bench/records_size.py FOLDER 20 1000 10000 100000`` with PYTHONPATH. Times are the
processor's.
"""

import records_made
import records_size

VISITS = 20
SOON_MS = 200  # every page, whatever the size
DAILY = (
    "due list, first after an intake",
    "due list",
    "what a table's page tells, first after an intake",
    *(f"desk, in a new process: {page}, processor" for page in records_size.PAGES),
    "search",
    "search, nothing found",
)


def test_what_the_office_does_all_day_does_not_grow_with_the_store(tmp_path, show):
    found = records_size.grown(tmp_path, VISITS, [1_000, 10_000])

    for line in records_size.table(found):
        show(line)
    small, large = found.values()
    assert large["intake"] < 2 * small["intake"]
    assert {name: large[name] for name in DAILY if large[name] > SOON_MS} == {}


EXPORTS = """
import sys
from pathlib import Path
from passport.records import Store, export_csv, export_events_csv, export_json

home = Path(sys.argv[1])
with Store.open(home) as store, (home / "out").open("w", newline="") as out:
    for export in (export_json, export_csv, export_events_csv):
        export(store, out)
found["mb"] = (home / "out").stat().st_size / 1e6
"""


def test_exports_hold_no_more_of_ten_times_the_records(tmp_path, measured, show):
    """Held at once, 3,000 forms of 40 readings would take some 60 MB more."""
    found = {}
    for visits in (6, 60):
        records_made.make(tmp_path / str(visits), 50, visits)
        found[visits] = measured(EXPORTS, str(tmp_path / str(visits)))
    small, large = found.values()

    show(f"exports of {small['mb']:.0f} and {large['mb']:.0f} MB hold {small['peak_mb']:.0f} "
         f"and {large['peak_mb']:.0f} MB")  # fmt: skip
    assert large["mb"] > 9 * small["mb"]
    assert large["peak_mb"] < small["peak_mb"] + 10
