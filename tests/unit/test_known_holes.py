"""No package that meets strangers' bytes may be of a version with a known hole.

Written down from memory in December 2026, not looked up again: the first version without it, and
its CVE number. A list like this grows old; ``pip-audit`` with a network knows more.
"""

import tomllib
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.version import Version

MENDED_IN = {
    "flask": "3.1.1",  # CVE-2025-47278
    "jinja2": "3.1.6",  # CVE-2025-27516
    "pillow": "11.3",  # CVE-2025-48379
    "waitress": "3.0.1",  # CVE-2024-49768, CVE-2024-49769
    "werkzeug": "3.0.6",  # CVE-2024-49766, CVE-2024-49767; flask brings it
}
PROJECT = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text())["project"]
ASKED = {one.name: one for one in map(Requirement, PROJECT["dependencies"])}


@pytest.mark.parametrize("name", MENDED_IN)
def test_what_is_installed_has_no_hole_that_is_known(name: str):
    assert Version(version(name)) >= Version(MENDED_IN[name])


@pytest.mark.parametrize("name", sorted(MENDED_IN.keys() & ASKED.keys()))
def test_no_version_with_a_known_hole_is_let_in(name: str):
    lowest = min(Version(one.version) for one in ASKED[name].specifier if one.operator == ">=")

    assert lowest >= Version(MENDED_IN[name])
