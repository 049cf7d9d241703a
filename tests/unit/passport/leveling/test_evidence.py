from dataclasses import replace
from datetime import date

from passport.leveling.evidence import evidence
from passport.leveling.loads.floor import Floor
from passport.visit import Count, Glide, LegPass, Pass, Shot

GLIDES = (Glide("A", 5.0, 5.0), Glide("B", 5.0, 5.0))


def read(visit, cards, off_in):
    legs = {name: LegPass(found=Count(cards)) for name in ("L1", "L3", "L5")}
    shots = tuple(Shot("middle", end, off_in) for end in "AB")
    return replace(visit, passes=(Pass(legs),), glides=GLIDES, shots=shots)


def test_evidence_before_any_visit_is_loads_by_the_targets(table):
    found = evidence(table, ())

    assert found.shots is None
    assert found.shot_lines == ()
    assert found.load_lines[0].startswith("Board: 6600 × 500 × 76.2 mm of sugar maple")


def test_evidence_is_of_the_last_visit(table, visit):
    later = replace(visit, date=date(2026, 4, 1))
    visits = (read(later, 2, -2), read(visit, -2, 2))

    assert evidence(table, visits) == evidence(table, visits[::-1])
    assert evidence(table, visits).shots.drift.cross_mm_per_m.value > 0


def test_visit_without_a_sure_date_counts_as_the_newest(table, visit):
    undated = replace(read(visit, 2, -2), date=None)

    assert evidence(table, (undated, read(visit, -2, 2))).shots.drift.cross_mm_per_m.value > 0


def test_agreement_warns_of_nothing(table, visit):
    assert evidence(table, (read(visit, 2, -2),)).warnings == ()


def test_disagreement_of_shots_and_levels_is_a_warning(table, visit):
    (warning,) = evidence(table, (read(visit, -3, -2),)).warnings

    assert warning.startswith("Cross slope by levels 1.20 ± 0.34 mm/m right high, by shots")


def test_floor_reaches_the_lines(table):
    lines = evidence(table, (), Floor(40.0, 900.0)).load_lines

    assert any("beside 900 kPa entered" in line for line in lines)


def test_evidence_of_two_visits_of_one_day_is_of_the_one_that_came_last(table, visit):
    morning, evening = read(visit, -2, 2), read(visit, 2, -2)

    assert evidence(table, (morning, evening)).shots == evidence(table, (evening,)).shots
