"""Travel per turn of unified inch and ISO metric threads, against the tables of the standards."""

import pytest

from passport.thread import parse_thread

ASME_B1_1 = [  # coarse and fine series
    *("#4-40 UNC", "#5-40 UNC", "#6-32 UNC", "#8-32 UNC", "#10-24 UNC", "#12-24 UNC"),
    *("1/4-20 UNC", "5/16-18 UNC", "3/8-16 UNC", "7/16-14 UNC", "1/2-13 UNC", "9/16-12 UNC"),
    *("5/8-11 UNC", "3/4-10 UNC", "7/8-9 UNC", "1-8 UNC", "#4-48 UNF", "#5-44 UNF"),
    *("#6-40 UNF", "#8-36 UNF", "#10-32 UNF", "#12-28 UNF", "1/4-28 UNF", "5/16-24 UNF"),
    *("3/8-24 UNF", "7/16-20 UNF", "1/2-20 UNF", "9/16-18 UNF", "5/8-18 UNF", "3/4-16 UNF"),
    *("7/8-14 UNF", "1-12 UNF"),
]


@pytest.mark.parametrize("designation", ASME_B1_1)
def test_unified_thread_named_by_series_alone_has_the_count_of_the_table(designation: str):
    """ASME B1.1, table of standard series (from memory; public transcriptions agree)."""
    size, _, rest = designation.partition("-")
    series = rest.split()[1]

    assert (
        parse_thread(f"{size} {series}").thread.pitch_mm
        == parse_thread(designation).thread.pitch_mm
    )


TRAVEL = [  # thread, 0.001 in per turn, mm per turn, as tabulated from 1/TPI and from the pitch
    ("1/4-20", 50.000, 1.2700),
    ("5/16-18", 55.556, 1.4111),
    ("3/8-16", 62.500, 1.5875),
    ("1/2-13", 76.923, 1.9538),
    ("M8x1.25", 49.213, 1.2500),
    ("M10x1.5", 59.055, 1.5000),
    ("M12x1.75", 68.898, 1.7500),
]


@pytest.mark.parametrize(("designation", "thou", "mm"), TRAVEL)
def test_travel_of_one_turn(designation: str, thou: float, mm: float):
    """ASME B1.1 and ISO 261 pitches; travel of a single start is the pitch."""
    pitch = parse_thread(designation).thread.pitch_mm

    assert (pitch, pitch / 0.0254) == (
        pytest.approx(mm, abs=5e-5),
        pytest.approx(thou, abs=5e-4),
    )


ISO_261_COARSE = [  # nominal diameter, coarse pitch, mm
    *((3, 0.5), (4, 0.7), (5, 0.8), (6, 1.0), (8, 1.25), (10, 1.5), (12, 1.75), (14, 2.0)),
    *((16, 2.0), (18, 2.5), (20, 2.5), (22, 2.5), (24, 3.0), (27, 3.0), (30, 3.5), (33, 3.5)),
    (36, 4.0),
]


@pytest.mark.parametrize(("diameter", "pitch"), ISO_261_COARSE)
def test_metric_thread_without_pitch_has_the_coarse_one(diameter: int, pitch: float):
    """ISO 261, general plan, coarse series (from memory; a public transcription agrees)."""
    assert parse_thread(f"M{diameter}").thread.pitch_mm == pitch
