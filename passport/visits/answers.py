"""The answers of one form as its visit reads them: what is sure, and what waits for a person."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from decimal import Decimal

from forms.field import Choice, Digits, Field, Note, Scale, Tick
from forms.layout import Layout
from passport.visit import Count, Doubt
from scan.reading import Reading, Status, Value

NOT_READ = "this place of the page could not be read"
NOT_IN_PICTURE = "not in the picture, or in an unreadable place"


@dataclass(frozen=True)
class Answers:
    """What was read of the pages that are in.

    ``fields`` are those that stand on these pages, by id. Only sure values are ever returned;
    what is doubtful or outside is None here and stands in ``doubts``.
    """

    fields: Mapping[str, Field]
    readings: Mapping[str, Reading]

    def value(self, field_id: str) -> Value:
        """Give the sure value of a field, None without one."""
        reading = self.readings.get(field_id)
        if field_id not in self.fields or reading is None or reading.status is not Status.SURE:
            return None
        return reading.value

    def ticked(self, field_id: str) -> bool:
        """Say whether a tick is surely marked."""
        return self.value(field_id) is True

    def number(self, field_id: str) -> int | None:
        """Give a sure whole number."""
        value = self.value(field_id)
        return None if value is None else int(value)

    def decimal(self, field_id: str) -> Decimal | None:
        """Give a sure number as it was written."""
        value = self.value(field_id)
        return None if value is None else Decimal(str(value))

    def word(self, field_id: str) -> str | None:
        """Give a sure choice."""
        value = self.value(field_id)
        return None if value is None else str(value)

    def count(self, field_id: str) -> Count | None:
        """Give a sure count; the printed option says whether it is a bound."""
        value = self.number(field_id)
        return None if value is None else Count(value, self._is_bound(field_id, value))

    def written(self, field_id: str) -> str | None:
        """Give the picture of a note that holds ink."""
        reading = self.readings.get(field_id)
        if not isinstance(self.fields.get(field_id), Note) or reading is None or not reading.ink:
            return None
        return reading.crop or ""

    def unread(self, field_id: str) -> bool:
        """Say whether a field is on a page that is in, yet neither sure nor empty."""
        return field_id in self.fields and self._doubt(field_id) is not None

    def empty(self, field_id: str) -> bool:
        """Say whether a field is on a page that is in and surely holds no answer."""
        value = self.value(field_id)
        nothing = value is None or value is False
        return self.has(field_id) and not self.unread(field_id) and nothing

    def without(self, field_ids: Collection[str]) -> "Answers":
        """Leave out some fields, as if their page were missing."""
        kept = {field: one for field, one in self.fields.items() if field not in field_ids}
        return Answers(kept, self.readings)

    def has(self, field_id: str) -> bool:
        """Say whether a field is on a page that is in."""
        return field_id in self.fields

    def doubt(self, field_id: str, why: str) -> Doubt:
        """Draw up a doubt about a field, under the words printed beside it."""
        field = self.fields.get(field_id)
        return Doubt(field_id, field.label if field else field_id, why)

    def doubts(self) -> tuple[Doubt, ...]:
        """List every field whose reading a person must settle, in printed order."""
        found = ((field_id, self._doubt(field_id)) for field_id in self.fields)
        return tuple(self.doubt(field_id, why) for field_id, why in found if why is not None)

    def _doubt(self, field_id: str) -> str | None:
        reading = self.readings.get(field_id)
        if reading is None or reading.status is Status.OUTSIDE:
            return NOT_IN_PICTURE
        if reading.status is Status.DOUBTFUL:
            return str(reading.why) if reading.why else NOT_READ
        return _unknown(self.fields[field_id], reading)

    def _is_bound(self, field_id: str, value: int) -> bool:
        field = self.fields[field_id]
        return isinstance(field, Scale) and any(
            option.bound and option.value == value for option in field.options
        )


def _unknown(field: Field, reading: Reading) -> str | None:
    """Refuse a sure value that the printed field could not give."""
    if reading.status is Status.EMPTY or isinstance(field, Note):
        return None
    match field:
        case Choice() | Scale():
            known = reading.value in {option.value for option in field.options}
        case Digits():
            known = _in_range(field, reading.value)
        case Tick():
            known = isinstance(reading.value, bool)
    return None if known else f"{reading.value} is not an answer that can be given here"


def _in_range(field: Digits, value: Value) -> bool:
    return value is not None and field.low <= float(value) <= field.high


def of_pages(layout: Layout, readings: Mapping[str, Reading], pages_in: Collection[int]) -> Answers:
    """Gather the answers of the pages that are in."""
    fields = {
        field.id: field for page in layout.pages if page.page in pages_in for field in page.fields
    }
    return Answers(fields, readings)
