"""Ten thousand files changed at random (48 by default): no crash, no hang, memory bounded.

How many of each kind still decode is printed, and of those how many gave another picture: a run
that is refused at the door tries nothing. A second run adds up what the first one left.
"""

import json
import subprocess
import sys
from pathlib import Path

from fuzz import EVERY

from passport.office.child import FILE_S, MEMORY_MB, PAGE_S

SCRIPT = Path(__file__).with_name("fuzz.py")
COUNT, SOME = 10_000, 48
SEED = "20261124"
SLOW_MACHINE = 10  # times as long by the clock as by computing
OPENED = ("as untouched", "otherwise", "no page")


def opened(ends: dict[str, int]) -> int:
    return sum(ends.get(end, 0) for end in OPENED)


def fuzzed(count: int, folder: Path) -> subprocess.CompletedProcess[str]:
    words = [sys.executable, str(SCRIPT), str(count), SEED, str(folder)]
    return subprocess.run(words, capture_output=True, text=True, check=True)


def test_changed_files_end_as_a_photo_or_a_problem(share, show, tmp_path):
    count = COUNT if share == 1 else SOME

    found = json.loads(fuzzed(count, tmp_path).stdout)
    lines = tmp_path / f"lines-{SEED}.jsonl"
    with lines.open("a") as out:
        out.write('{"number": 99, "fil')  # a run that was stopped amid its line
    again = fuzzed(count, tmp_path)

    show(f"{count} changed files in {found['seconds']} s: {found['ends']}")
    for name, ends in found["by kind"].items():
        show(f"{name:20} {opened(ends)} of {sum(ends.values())} opened: {ends}")
    show(f"slowest {found['slowest_s']} s, largest reader {found['peak_mb']} MB")
    ends = found["ends"]
    assert {end: ends[end] for end in ends if end not in {*OPENED, "refused"}} == {}
    assert opened(ends) >= count / 3
    untouched = dict(found["pages of each untouched"])
    assert untouched.pop("pdf") == 2  # a drawn card comes with its back
    assert set(untouched.values()) == {1}
    assert found["untouched, read otherwise since"] == 0
    assert found["slowest_s"] < SLOW_MACHINE * (FILE_S + PAGE_S)
    assert found["peak_mb"] < MEMORY_MB / 2
    assert json.loads(again.stdout) == found  # added up from the lines
    assert again.stderr == ""  # nothing was read anew
    assert len(lines.read_text().splitlines()) == -(-count // EVERY)
