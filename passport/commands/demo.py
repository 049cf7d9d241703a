"""``demo``: the whole job on invented tables."""

from pathlib import Path

import click

from passport.demo.tour import Tour
from passport.errors import PassportError


class FolderInUse(PassportError):
    """The demo never writes over anything."""

    exit_code = 2

    def __init__(self, folder: Path):
        super().__init__(
            f"{folder} is not empty, and the demo never writes over anything. "
            "Name another folder, or take this one away."
        )


@click.command()
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("papers"),
    show_default=True,
    help="Folder for the papers.",
)
def demo(out: Path) -> None:
    """Do the whole job on invented tables.

    The papers are left in a folder.
    """
    if out.exists() and any(out.iterdir()):
        raise FolderInUse(out)
    Tour(out, click.echo).run()
    click.echo(f"The papers are in {out}")
