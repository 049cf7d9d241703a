"""Promise 4: nothing acknowledged is lost when the power goes."""

from math import ceil

import pytest

CUTS = 20


@pytest.mark.long
def test_a_power_cut_breaks_no_promise(run_script, disk, share):
    found = run_script("power.py", disk.with_suffix(".img"), disk, ceil(CUTS * share))

    print(f"\n  {found['cuts']} power cuts, {found['acknowledged']} photos acknowledged")
    assert found["broken"] == []
    assert found["acknowledged"] >= found["cuts"]


@pytest.mark.long
def test_without_flushing_the_same_power_cuts_lose_acknowledged_photos(run_script, disk):
    found = run_script("power.py", disk.with_suffix(".img"), disk, 3, "no-sync")

    assert found["broken"] != []
