"""A measuring kit's check as it was written, and the numbers that follow from it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum

from passport.leveling.readings import centred_u_mm_per_m
from passport.table import Kit
from passport.visit import Count, Doubt
from passport.visits.kit.numbers import (
    Gap,
    Measured,
    bow_by_three,
    bow_by_twin,
    card_thickness,
    level_zero,
)


class Pair(StrEnum):
    """Which two edges were laid on each other."""

    TWIN = "level on twin"
    THIRD = "level on third"
    OTHERS = "twin on third"


@dataclass(frozen=True)
class KitCheck:
    """One check of a measuring kit.

    Attributes
    ----------
    kit : Kit
        The kit as the table described it when the form was printed.
    stacks_mm : tuple of float
        Micrometer readings over ten cards; empty unless all are sure. [mm]
    micrometer_step_mm : float or None
        Step that it was read to. [mm]
    zero_shown : bool
        Wiped and closed it showed zero.
    reversals : tuple of (Count, Count)
        Level on one spot, first and turned round.
    gaps : mapping of Pair to Gap
        Edges laid on each other.
    """

    form: str
    kind: str
    table: str
    date: date | None
    kit: Kit
    technician: str | None = None
    air_temperature_c: float | None = None
    air_humidity_pct: float | None = None
    stacks_mm: tuple[float, ...] = ()
    micrometer_step_mm: float | None = None
    zero_shown: bool = False
    reversals: tuple[tuple[Count, Count], ...] = ()
    gaps: Mapping[Pair, Gap] = field(default_factory=dict)
    office_must_read: bool = False
    unsafe: bool = False
    notes: Mapping[str, str] = field(default_factory=dict)
    doubts: tuple[Doubt, ...] = ()
    missing_pages: tuple[int, ...] = ()

    @property
    def card(self) -> Measured | None:
        """Thickness of one card [mm]; None without readings, step or a closed zero."""
        if not (self.stacks_mm and self.micrometer_step_mm and self.zero_shown):
            return None
        return card_thickness(self.stacks_mm, self.micrometer_step_mm)

    @property
    def zero(self) -> Measured | None:
        """What the level shows on a level spot [mm/m]; None where a count is only a bound."""
        if not self.reversals or any(count.bound for pair in self.reversals for count in pair):
            return None
        card = self.card or Measured(self.kit.card_mm, self.kit.card_u_mm)
        pairs = [(first.cards, turned.cards) for first, turned in self.reversals]
        return level_zero(
            pairs,
            card,
            bearing_mm=self.kit.bearing_length_mm,
            centred_u=centred_u_mm_per_m(self.kit),
        )

    @property
    def bow(self) -> Measured | None:
        """Hollow of the level's edge in its middle [mm]; by three edges where they were there."""
        if set(self.gaps) == set(Pair):
            return bow_by_three(*(self.gaps[pair] for pair in Pair))
        return bow_by_twin(self.gaps[Pair.TWIN]) if Pair.TWIN in self.gaps else None
