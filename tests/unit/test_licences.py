"""What the program is built on may be used by anybody: each licence is on a list.

A package that only its own licence's terms forbid to pass on, such as the AGPL's over a network,
is on none. Names as the packages' own metadata give them (SPDX, or the older classifiers).
"""

import re
import tomllib
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement

FREE = re.compile(
    r"\b(MIT|MIT-0|BSD|0BSD|BSD-[23]-Clause|Apache( Software)?|Apache-2\.0|ISC|PSF(-2\.0)?|"
    r"Python Software Foundation|Zlib|HPND|Zope|MIT-CMU|MPL|Mozilla|LGPL|Lesser)\b"
)
PROJECT = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text())["project"]


def licence(package: Distribution) -> str:
    """Say a package's licence as its metadata do."""
    told = package.metadata
    kinds = [one for one in told.get_all("Classifier") or [] if one.startswith("License ::")]
    return told.get("License-Expression") or "; ".join(kinds) or (told.get("License") or "")[:80]


def needed() -> dict[str, Distribution]:
    """Find every package that the program needs to run, and what those need."""
    found: dict[str, Distribution] = {}
    left = [Requirement(one) for one in PROJECT["dependencies"]]
    while left:
        one = left.pop()
        if one.name.lower() in found or (one.marker and not one.marker.evaluate({"extra": ""})):
            continue
        try:
            found[one.name.lower()] = distribution(one.name)
        except PackageNotFoundError:  # needed on another system only
            continue
        left += [Requirement(text) for text in found[one.name.lower()].requires or ()]
    return found


def test_every_package_that_is_needed_has_a_licence_on_the_list():
    told = {name: licence(package) for name, package in needed().items()}

    assert len(told) > len(PROJECT["dependencies"])
    assert {name: said for name, said in told.items() if not FREE.search(said)} == {}


@pytest.mark.parametrize("said", ["AGPL-3.0-or-later", "GPL-3.0-only", "Proprietary", ""])
def test_a_licence_that_is_not_free_for_all_is_not_on_the_list(said: str):
    assert not FREE.search(said)


def test_every_folder_of_fonts_has_its_licence():
    root = Path(__file__).parents[2]
    folders = {
        path.parent for room in ("forms", "passport") for path in (root / room).rglob("*.woff2")
    }

    assert folders == {root / "forms" / "fonts"}
    for folder in folders:
        assert "SIL OPEN FONT LICENSE Version 1.1" in (folder / "OFL.txt").read_text("utf-8")
