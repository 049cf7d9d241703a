"""DEVELOPERS.md lists every message; run as a script, this file prints the list."""

import importlib
import pkgutil
from collections.abc import Iterator
from pathlib import Path

from forms.errors import UserError

PACKAGES = ("forms", "scan", "passport")
APART = ("migrations", "train", "make")  # scripts and migrations hold no message
DEVELOPERS = Path(__file__).parents[2] / "DEVELOPERS.md"


def messages(base: type[UserError] = UserError) -> Iterator[type[UserError]]:
    for kind in base.__subclasses__():
        if not kind.__subclasses__():
            yield kind
        yield from messages(kind)


def rows() -> list[str]:
    """One line a message: where it is made, its name, its cause, its exit code."""
    for name in PACKAGES:
        package = importlib.import_module(name)
        for module in pkgutil.walk_packages(package.__path__, f"{name}."):
            if not any(part in APART for part in module.name.split(".")):
                importlib.import_module(module.name)
    ours = {kind for kind in messages() if kind.__module__.split(".")[0] in PACKAGES}
    return [
        f"| `{kind.__module__}` | {kind.__name__} | {(kind.__doc__ or '').splitlines()[0]} "
        f"| {kind.exit_code} |"
        for kind in sorted(ours, key=lambda kind: (kind.__module__, kind.__name__))
    ]


def test_every_message_is_listed_with_its_cause():
    listed = DEVELOPERS.read_text(encoding="utf-8").splitlines()

    assert [row for row in rows() if row not in listed] == []


if __name__ == "__main__":
    print("\n".join(rows()))
