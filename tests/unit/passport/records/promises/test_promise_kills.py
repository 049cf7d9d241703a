"""Promise 1 to 3: nothing acknowledged is lost, torn or doubled when the program is killed."""

from math import ceil

import pytest

STEPS_AT_LEAST = 20
KILLS_EACH = 10


@pytest.mark.long
def test_a_kill_between_any_two_steps_of_an_intake_breaks_no_promise(run_script, tmp_path, share):
    found = run_script("kills.py", tmp_path, ceil(KILLS_EACH * share))

    print(f"\n  {found['kills']} kills at {len(found['steps'])} points")
    assert found["broken"] == {}
    assert len(found["steps"]) >= STEPS_AT_LEAST
    assert found["kills"] == ceil(KILLS_EACH * share) * len(found["steps"])


@pytest.mark.long
@pytest.mark.parametrize(
    ("mistake", "sign"),
    [
        ("acknowledged_too_early", "lost: "),
        ("photo_after_its_record", "no photo: "),
        ("each_page_for_itself", "torn or doubled: "),
    ],
)
def test_the_same_kills_find_a_known_mistake(run_script, tmp_path, mistake, sign):
    found = run_script("kills.py", tmp_path, 1, mistake)

    broken = [one for signs in found["broken"].values() for one in signs]
    assert any(one.startswith(sign) for one in broken)


@pytest.mark.long
def test_a_kill_between_any_two_steps_breaks_no_promise_on_postgresql(
    run_script, tmp_path, share, server
):
    found = run_script("kills.py", tmp_path, ceil(KILLS_EACH * share), on=server)

    print(f"\n  {found['kills']} kills at {len(found['steps'])} points")
    assert found["broken"] == {}
    assert len(found["steps"]) >= STEPS_AT_LEAST
