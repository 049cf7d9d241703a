"""A delivery survey as it was written, and what follows from it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from passport.table import Table
from passport.visits.signature import SignedRecord
from passport.visits.survey.passage import Load, Longest, Place, longest_with_tape

TAPE_MM = {"metric": 5.0, "imperial": 6.35}  # a tape hooked and read by hand; no source


@dataclass(frozen=True, kw_only=True)
class Survey(SignedRecord):
    """One survey of a way in and a room.

    Attributes
    ----------
    units : str
        What the tape was read in, "metric" or "imperial".
    places : mapping of Place to tuple of float
        Sizes of the places on the way, all of them sure; as ``SIZES`` names them. [mm]
    run_up_mm : mapping of str to float
        Clear floor beyond ends A and B. [mm]
    below_mm : mapping of (str, str) to float
        How far the floor lies below its highest place at a leg's foot. [mm]
    helpers : int or None
        People who help.
    """

    units: str = "metric"
    places: Mapping[Place, tuple[float, ...]] = field(default_factory=dict)
    run_up_mm: Mapping[str, float] = field(default_factory=dict)
    air_temperature_c: float | None = None
    air_humidity_pct: float | None = None
    near: frozenset[str] = frozenset()
    dry_months: frozenset[int] = frozenset()
    damp_months: frozenset[int] = frozenset()
    floor: str | None = None
    load_doubtful: bool = False
    below_mm: Mapping[tuple[str, str], float] = field(default_factory=dict)
    sockets: str | None = None
    helpers: int | None = None
    aids: frozenset[str] = frozenset()

    @property
    def tape_mm(self) -> float:
        """Half-width of what one reading may be off. [mm]."""
        return TAPE_MM[self.units]

    def ways(self, table: Table) -> tuple[Longest, ...]:
        """Longest board at each place on the way, the tightest first."""
        board = table.board
        load = Load(board.length_mm, board.width_mm, board.thickness_mm).padded()
        found = (
            longest_with_tape(place, sizes, load, self.tape_mm)
            for place, sizes in self.places.items()
        )
        return tuple(sorted(found, key=lambda one: (one.low_mm, one.high_mm)))

    @property
    def reach_mm(self) -> tuple[float, float] | None:
        """How far feet must differ for this floor, and the tape's part of it. [mm]."""
        if len(self.below_mm) < 2:
            return None
        lows = self.below_mm.values()
        return max(lows) - min(lows), 2 * self.tape_mm
