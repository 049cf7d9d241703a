"""What reading a description finds besides the table itself."""

from dataclasses import dataclass, field
from fractions import Fraction

from passport.description.section import Section
from passport.errors import PassportError

NM_PER_MM = 10**6


@dataclass
class Findings:
    """Problems, what was assumed, and what was written, of one file."""

    problems: list[PassportError] = field(default_factory=list)
    assumed: list[str] = field(default_factory=list)
    written: list[tuple[str, str]] = field(default_factory=list)

    def take(self, section: Section, name: str) -> None:
        """Add a section's, under the name that it has along the board."""
        prefix = f"{name}." if name else ""
        self.assumed += [prefix + key for key in section.assumed]
        self.written += [
            (prefix + key, text)
            for key, text in section.written.items()
            if key not in section.assumed
        ]


def in_mm(value: Fraction) -> float:
    """Length as tables hold it: a whole number of nanometres, in mm."""
    return round(value * NM_PER_MM) / NM_PER_MM
