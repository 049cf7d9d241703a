"""The command line as a person uses it, with a home of its own."""

from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from passport.cli import main

Typed = Callable[..., Result]


@pytest.fixture
def typed(tmp_path: Path) -> Typed:
    """Type a command; its result has exit_code, stdout and stderr."""
    home = tmp_path / "home"

    def type_(*words: object) -> Result:
        return CliRunner().invoke(main, ["--home", str(home), *map(str, words)])

    return type_


@pytest.fixture
def description(tmp_path: Path) -> Path:
    """Write the description of the shortest invented table."""
    path = tmp_path / "short.toml"
    path.write_text((resources.files("passport") / "invented" / "short.toml").read_text())
    return path
