"""QR codes of the forms.

ISO/IEC 18004:2024, capacity table (alphanumeric characters by version and level) and symbol
construction; the capacities of versions 1 to 10 are computed from the standard's code tables. The
expected symbols come from segno, an independent library.
"""

import pytest
import segno

from forms.marks import Level, page_code_text, qr_matrix
from forms.numbers import FormNumber

CAPACITY = {
    Level.M: [20, 38, 61, 90, 122, 154, 178, 221, 262, 311],
    Level.Q: [16, 29, 47, 67, 87, 108, 125, 157, 189, 221],
    Level.H: [10, 20, 35, 50, 64, 84, 93, 122, 143, 174],
}
CASES = [
    (level, version, characters)
    for level, row in CAPACITY.items()
    for version, characters in enumerate(row, start=1)
]


def version_of(matrix: tuple[tuple[bool, ...], ...]) -> int:
    return (len(matrix) - 17) // 4  # 21 modules, and 4 more for each version


def symbols(text: str, version: int, level: Level) -> list[tuple[tuple[bool, ...], ...]]:
    """Make the reference's symbols under each of the eight masks."""
    made = (
        segno.make(
            text, version=version, error=level.name, mask=mask, micro=False, boost_error=False
        )
        for mask in range(8)
    )
    return [tuple(tuple(bool(module) for module in row) for row in one.matrix) for one in made]


@pytest.mark.parametrize(("level", "version", "characters"), CASES)
def test_a_full_symbol_keeps_its_version(level: Level, version: int, characters: int) -> None:
    assert version_of(qr_matrix("A" * characters, level)) == version


@pytest.mark.parametrize(("level", "version", "characters"), CASES)
def test_one_character_more_needs_the_next_version(
    level: Level, version: int, characters: int
) -> None:
    assert version_of(qr_matrix("A" * (characters + 1), level)) == version + 1


@pytest.mark.parametrize(("level", "version", "characters"), CASES)
def test_the_reference_library_has_the_same_capacity(
    level: Level, version: int, characters: int
) -> None:
    made = segno.make("A" * characters, error=level.name, micro=False, boost_error=False)

    assert made.version == version


def test_a_page_code_is_the_reference_library_s_symbol_1_q() -> None:
    text = page_code_text(FormNumber("16JD000000M"), 3)

    assert qr_matrix(text) in symbols(text, 1, Level.Q)


@pytest.mark.parametrize(
    ("characters", "version", "level"),
    [(10, 1, Level.H), (16, 1, Level.Q), (17, 1, Level.M), (38, 2, Level.M), (40, 3, Level.Q)],
)
def test_the_level_is_the_highest_that_keeps_the_version(
    characters: int, version: int, level: Level
) -> None:
    text = "7K" * characters

    assert qr_matrix(text[:characters]) in symbols(text[:characters], version, level)
