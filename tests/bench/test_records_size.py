"""How the cost of each thing grows with the store; the full size is made by the script alone.

By default a tenth of the visits, in 1,000 and 3,000 tables; ``tests/run --long`` makes 1,000 and
10,000 tables with 20 visits each. The whole size (100,000 tables, 2,000,000 visits) is a matter of
half an hour and 40 GB: ``tests/bench/records_size.py FOLDER 20 1000 10000 100000`` with PYTHONPATH.
"""

import records_size

VISITS = 20
SOON_MS = 200  # due list, search and a table's page, whatever the size
DAILY = (
    "due list, first after an intake",
    "due list",
    "what a table's page tells, first after an intake",
    *(f"desk, in a new process: {page}, processor" for page in records_size.SOON),
    "search",
    "search, nothing found",
)


def test_what_the_office_does_all_day_does_not_grow_with_the_store(tmp_path, share, show):
    visits = max(2, round(VISITS * share))
    sizes = (1_000, 10_000 if share == 1 else 3_000)

    found = records_size.grown(tmp_path, visits, list(sizes))

    for line in records_size.table(found):
        show(line)
    small, large = found.values()
    assert large["intake"] < 3 * small["intake"] + 5
    assert {name: large[name] for name in DAILY if large[name] > SOON_MS} == {}
