"""What a survey's answers mean, and which answers mean it."""

from collections.abc import Collection, Mapping
from datetime import date
from decimal import Decimal
from typing import TypeVar

from passport.table import Table
from passport.visit import Doubt
from passport.visits.answers import Answers, of_pages
from passport.visits.kind import Context
from passport.visits.service import opening, remarks
from passport.visits.signature import Arrival, signed
from passport.visits.survey import ids
from passport.visits.survey.passage import SIZES, Place
from passport.visits.survey.record import Survey
from scan.reading import Reading, Value

PARTLY = "the other sizes of this place are written, this one is not"
SIDES = ("left", "right")
K = TypeVar("K")
UNIT_MM = {"metric": Decimal(1), "imperial": Decimal("25.4")}  # exact: agreement of 1959
STEP = {"metric": Decimal(1), "imperial": Decimal("0.1")}


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> Survey:
    """Turn the readings of a survey into a record of sure values; see ``Interprets``."""
    answers, table = of_pages(context.layout, readings, pages_in), context.table
    places, doubts = _places(answers, table.units)
    survey = Survey(
        form=context.layout.form,
        kind=context.layout.kind,
        table=table.number,
        units=table.units,
        places=places,
        run_up_mm=_sizes(answers, ids.RUN_UP, table.units),
        air_temperature_c=opening.temperature_c(answers),
        air_humidity_pct=opening.humidity_pct(answers),
        near=frozenset(key for key in ids.SEEN if answers.ticked(ids.seen(key))),
        dry_months=_months(answers, "dry"),
        damp_months=_months(answers, "damp"),
        floor=answers.word(ids.FLOOR),
        load_doubtful=answers.ticked(ids.DOUBTFUL) or answers.unread(ids.DOUBTFUL),
        below_mm=_sizes(answers, _feet(table), table.units),
        sockets=answers.word(ids.SOCKETS),
        helpers=answers.number(ids.HELPERS),
        aids=frozenset(key for key in ids.AID_WORDS if answers.ticked(ids.aid(key))),
        doubts=doubts,
    )
    return signed(survey, answers, context, Arrival(pages_in, received_on))


def _feet(table: Table) -> dict[tuple[str, str], str]:
    return {
        (leg.name, side): ids.below(leg.name, side, table.units)
        for leg in table.legs
        for side in SIDES
    }


def _sizes(answers: Answers, fields: Mapping[K, str], units: str) -> dict[K, float]:
    found = {key: answers.decimal(field) for key, field in fields.items()}
    return {key: float(one * UNIT_MM[units]) for key, one in found.items() if one is not None}


def _places(
    answers: Answers, units: str
) -> tuple[dict[Place, tuple[float, ...]], tuple[Doubt, ...]]:
    places, doubts = {}, list[Doubt]()
    for place, names in SIZES.items():
        fields = {index: ids.size(place, index, units) for index in range(len(names))}
        found = _sizes(answers, fields, units)
        if len(found) == len(names):
            places[place] = tuple(found[index] for index in fields)
        elif found:
            empty = (field for field in fields.values() if answers.empty(field))
            doubts += [answers.doubt(field, PARTLY) for field in empty]
    return places, tuple(doubts)


def _months(answers: Answers, season: str) -> frozenset[int]:
    return frozenset(n for n in range(1, 13) if answers.ticked(ids.month(season, n)))


def answers(survey: Survey, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this survey, in its unit; see ``Answers``."""
    sizes = {
        ids.size(place, index, survey.units): mm
        for place, all_sizes in survey.places.items()
        for index, mm in enumerate(all_sizes)
    }
    sizes |= {ids.RUN_UP[end]: mm for end, mm in survey.run_up_mm.items()}
    sizes |= {ids.below(*foot, survey.units): mm for foot, mm in survey.below_mm.items()}
    given: dict[str, Value] = {
        field: (Decimal(str(mm)) / UNIT_MM[survey.units]).quantize(STEP[survey.units])
        for field, mm in sizes.items()
    }
    given |= dict.fromkeys(_ticked(survey), True)
    words = {ids.FLOOR: survey.floor, ids.SOCKETS: survey.sockets}
    given |= {field: word for field, word in words.items() if word is not None}
    given |= {} if survey.helpers is None else {ids.HELPERS: Decimal(survey.helpers)}
    return given | opening.air_answers(survey) | remarks.signed(survey, printed_on)


def _ticked(survey: Survey) -> list[str]:
    seasons = {"dry": survey.dry_months, "damp": survey.damp_months}
    return [
        *(ids.seen(key) for key in survey.near),
        *(ids.aid(key) for key in survey.aids),
        *(ids.month(season, n) for season, months in seasons.items() for n in months),
        *([ids.DOUBTFUL] if survey.load_doubtful else []),
    ]
