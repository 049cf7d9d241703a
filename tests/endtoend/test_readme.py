"""README tells the truth: the demo prints what stands there, and leaves the papers it names."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from passport.cli import main

TOP = Path(__file__).parents[2]
README = (TOP / "README.md").read_text(encoding="utf-8")

pytestmark = pytest.mark.xdist_group("the demo is run once")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("newcomer") / "papers"


@pytest.fixture(scope="module")
def demo(folder: Path) -> Result:
    return CliRunner().invoke(main, ["demo", "--out", str(folder)], catch_exceptions=False)


def shown(command: str) -> str:
    """Output that README shows for a command."""
    block = README.split(f"    $ {command}\n", 1)[1].split("\n\n", 1)[0]
    return "\n".join(line.removeprefix("    ") for line in block.splitlines()) + "\n"


def rounded(text: str) -> str:
    """Leave out how many values were doubtful: a digit at the edge may fall either way.

    Another processor adds floating point numbers in another order.
    """
    return re.sub(r"\d+ sure and as written, \d+ left", "… sure and as written, … left", text)


def test_readme_shows_what_the_demo_prints(demo, folder):
    printed = demo.stdout.replace(str(folder), "papers")

    assert rounded(printed) == rounded(shown("passport/start"))


def test_readme_shows_what_the_tests_end_with():
    script = (TOP / "tests" / "run").read_text(encoding="utf-8")

    assert script.splitlines()[-1] == f'echo "{shown("tests/run").splitlines()[-1]}"'


def test_demo_ends_well(demo):
    assert demo.exit_code == 0


@pytest.mark.parametrize("name", ["short", "middle", "long"])
def test_demo_leaves_each_paper(demo, folder, name):
    papers = {path.name for path in folder.glob(f"{name}-*.pdf")}

    needed = {"form", "next-actions", "passport"}
    assert {f"{name}-2026-03-02-{one}.pdf" for one in needed} | {f"{name}-label.pdf"} <= papers


def test_second_visit_stands_in_the_history(demo, folder):
    number = re.findall(r"(\d{3}) (\d{4}) (\d{2})  Lantern", demo.stdout)[0]
    home = ["--home", str(folder / "home")]

    told = CliRunner().invoke(main, [*home, "history", "--table", "".join(number)])

    assert [line[:11].strip() for line in told.stdout.splitlines() if "(form " in line] == [
        "2 March 202",
        "18 May 2026",
    ]


def test_demo_never_writes_over_anything(demo, folder):
    again = CliRunner().invoke(main, ["demo", "--out", str(folder)])

    assert (again.exit_code, again.stderr) == (
        2,
        f"{folder} is not empty, and the demo never writes over anything. "
        "Name another folder, or take this one away.\n",
    )


@pytest.mark.parametrize("target", re.findall(r"\]\(([^):]+)\)", README))
def test_readme_points_to_what_is_there(target):
    assert (TOP / target).exists()
