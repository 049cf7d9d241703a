"""What the demo tells when it does not end well.

PassportError
└── ReadingDiffers      a value was read that the hand did not write
"""

from collections.abc import Sequence

from passport.errors import PassportError


class ReadingDiffers(PassportError):
    """A reading was taken as sure and is not what the hand wrote."""

    exit_code = 1

    def __init__(self, differences: Sequence[str]):
        self.differences = tuple(differences)
        listed = "\n".join(f"  {one}" for one in differences)
        super().__init__(
            f"{len(differences)} readings are not what the hand wrote:\n{listed}\n"
            "Look at the photos in the demo's folder and report what you see."
        )
