"""Three invented tables, to try everything on. No such halls, names or telephones exist."""

from importlib.resources import files

NAMES = ("short", "middle", "long")


def invented_descriptions() -> tuple[tuple[str, str], ...]:
    """File name and text of each invented description: short, middle and long table."""
    folder = files(__name__)
    return tuple(
        (f"{name}.toml", (folder / f"{name}.toml").read_text(encoding="utf-8")) for name in NAMES
    )
