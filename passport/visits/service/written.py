"""The answers that give a visit: what a hand writes, the inverse of interpreting."""

from datetime import date

from passport.table import Kit
from passport.visit import Pass, Visit
from passport.visits.service import brackets, ids, legs, opening, remarks, rise, shots
from scan.reading import Value


def answers(visit: Visit, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this visit.

    Parameters
    ----------
    visit : Visit
        Without doubts; a value of None is an empty field.
    printed_on : date, optional
        When the form was printed, for the box of the next year; without it the visit is taken to
        be of the same year.

    Returns
    -------
    dict
        Field id to value, for marked fields only; a note's value is its picture's name. Air and
        glides stand in both units: write those that the form has.
    """
    given: dict[str, Value] = {**opening.write(visit), **remarks.write(visit, printed_on)}
    given |= shots.write(visit.shots, visit.glides)
    for walk, one in enumerate(visit.passes, start=ids.FIRST):
        given |= _pass(one, walk, visit.kit)
    return given | _not_measured(visit)


def _pass(one: Pass, walk: int, kit: Kit) -> dict[str, Value]:
    given = {**legs.write(one.legs, walk), **brackets.write(one.brackets, walk)}
    if walk == ids.FIRST:
        given |= rise.write(one, kit)
    if one.minutes_to_after is not None:
        given[ids.minutes(walk)] = one.minutes_to_after
    return given


def _not_measured(visit: Visit) -> dict[str, Value]:
    """Say why a part of the form is blank, unless nothing was turned says it already."""
    first = visit.passes[0] if visit.passes else Pass()
    measured = {
        ids.LEGS_NOT_MEASURED: first.legs or first.rise,
        ids.BRACKETS_NOT_MEASURED: first.brackets,
        ids.SHOTS_NOT_MEASURED: visit.shots,
    }
    if visit.nothing_turned:
        return {}
    blank: dict[str, Value] = {field: True for field, what in measured.items() if not what}
    read = rise.stations(visit.kit)
    ends = [one for one in read if first.legs and one not in first.rise]
    return blank | {ids.untouched(ids.rise(end)): True for end in ends}
