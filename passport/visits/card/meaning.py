"""What a check card means, and which answers mean it."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from passport.table import Table
from passport.visits.answers import of_pages
from passport.visits.card.form import BARE, DRIFT, DRIFTS, NOISE, NOISES, PLACES
from passport.visits.kind import Context
from passport.visits.service import ids, opening, remarks
from passport.visits.signature import Arrival, SignedRecord, signed
from scan.reading import Reading, Value


@dataclass(frozen=True, kw_only=True)
class CheckCard(SignedRecord):
    """One monthly check by the people at the table; ``unsafe``: they stopped playing.

    Attributes
    ----------
    drift : str or None
        straight, left or right as seen from end A.
    noise : str or None
        none, rattles or cracks.
    bare : frozenset of str
        Where the board is bare: label, middle, far.
    air_humidity_pct : float or None
        Relative humidity. [%]
    """

    drift: str | None = None
    noise: str | None = None
    bare: frozenset[str] = frozenset()
    air_humidity_pct: float | None = None


def interpret(
    context: Context,
    readings: Mapping[str, Reading],
    *,
    pages_in: Collection[int],
    received_on: date,
) -> CheckCard:
    """Turn the readings of a check card into a record; see ``Interprets``."""
    answers = of_pages(context.layout, readings, pages_in)
    record = CheckCard(
        form=context.layout.form,
        kind=context.layout.kind,
        table=context.table.number,
        drift=answers.word(DRIFT),
        noise=answers.word(NOISE),
        bare=frozenset(key for key in PLACES if answers.ticked(f"{BARE}.{key}")),
        air_humidity_pct=opening.humidity_pct(answers),
    )
    return signed(record, answers, context, Arrival(pages_in, received_on))


def answers(record: CheckCard, *, printed_on: date | None = None) -> dict[str, Value]:
    """Give the answers whose reading is this card; see ``Answers``."""
    given: dict[str, Value] = {f"{BARE}.{key}": True for key in record.bare}
    given |= {DRIFT: record.drift} if record.drift else {}
    given |= {NOISE: record.noise} if record.noise else {}
    if record.air_humidity_pct is not None:
        given[ids.HUMIDITY] = Decimal(round(record.air_humidity_pct))
    return given | remarks.signed(record, printed_on)


def tell(table: Table, record: CheckCard) -> tuple[str, ...]:
    """Say what the people at the table saw; what they stopped for comes first."""
    lines = ["OUT OF USE until checked: the people at the table stopped playing"]
    lines = lines if record.unsafe else []
    lines += [f"a weight {DRIFTS[record.drift]}"] if record.drift else []
    lines += [f"noise: {NOISES[record.noise]}"] if record.noise else []
    bare = [PLACES[key] for key in PLACES if key in record.bare]
    lines += [f"bare spots: {', '.join(bare)}"] if bare else []
    if record.air_humidity_pct is not None:
        lines.append(f"relative humidity: {record.air_humidity_pct:.0f} %")
    return tuple(lines)
