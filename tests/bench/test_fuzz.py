"""Ten thousand files changed at random (64 by default): no crash, no hang, memory bounded.

How many of each kind still decode is printed: a run that is refused at the door tries nothing.
"""

import json
import subprocess
import sys
from pathlib import Path

from passport.office.child import FILE_S, MEMORY_MB, PAGE_S

SCRIPT = Path(__file__).with_name("fuzz.py")
COUNT, SOME = 10_000, 64
SLOW_MACHINE = 10  # times as long by the clock as by computing


def test_changed_files_end_as_a_photo_or_a_problem(share, show):
    count = COUNT if share == 1 else SOME

    words = [sys.executable, str(SCRIPT), str(count)]
    done = subprocess.run(words, capture_output=True, text=True, check=True)

    found = json.loads(done.stdout)
    show(f"{count} changed files in {found['seconds']} s: {found['ends']}")
    for name, ends in found["by kind"].items():
        show(f"{name:20} {ends}")
    show(f"slowest {found['slowest_s']} s, largest reader {found['peak_mb']} MB")
    ends = found["ends"]
    assert {end: ends[end] for end in ends if end not in {"decoded", "refused"}} == {}
    assert ends["decoded"] >= count / 3
    assert found["pages after it all"] == 1
    assert found["slowest_s"] < SLOW_MACHINE * (FILE_S + PAGE_S)
    assert found["peak_mb"] < MEMORY_MB / 2
