"""Each verb says what it does in one line of the list of verbs, and is not cut off there."""

import click
import pytest
from click.testing import CliRunner

from passport.cli import main


def _groups(group: click.Group, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Give the words that call each group, that one first."""
    inner = [
        (*path, name) for name, verb in group.commands.items() if isinstance(verb, click.Group)
    ]
    return [path, *inner]


@pytest.mark.parametrize("words", _groups(main), ids=lambda words: " ".join(words) or "all")
def test_no_verb_is_cut_off_in_the_list(words: tuple[str, ...]) -> None:
    said = CliRunner().invoke(main, [*words, "--help"]).output
    listed = said.partition("Commands:\n")[2].splitlines()
    assert listed
    assert [line for line in listed if line.endswith("...")] == []
    assert [line for line in listed if len(line.split()) < 3] == []
