"""Pictures of fields, kept so that a person can look."""

import re
from dataclasses import dataclass, replace
from pathlib import Path

from forms.field import Note
from forms.layout import Page
from scan.fields import frame_of
from scan.ink import Sight
from scan.opencv import cv2
from scan.reading import Reading, Status


@dataclass(frozen=True)
class Album:
    """Where pictures of fields go, and the hash of the photo that they are cut from."""

    folder: Path | None
    sha256: str

    def name(self, page: int, field: str) -> str:
        """File name of a field's picture."""
        plain = re.sub(r"[^A-Za-z0-9_.+-]", "_", field)
        return f"{self.sha256[:16]}-p{page}-{plain}.png"

    def with_crops(
        self, sight: Sight, page: Page, readings: dict[str, Reading]
    ) -> dict[str, Reading]:
        """Save a picture of each doubtful field and each note; their readings name it."""
        if self.folder is None:
            return readings
        self.folder.mkdir(parents=True, exist_ok=True)
        kept = dict(readings)
        for field in page.fields:
            reading = readings[field.id]
            wanted = reading.status is Status.DOUBTFUL or isinstance(field, Note)
            if wanted and reading.status is not Status.OUTSIDE:
                name = self.name(page.page, field.id)
                picture = cv2.imencode(".png", sight.picture(frame_of(field)))[1]
                (self.folder / name).write_bytes(picture.tobytes())
                kept[field.id] = replace(reading, crop=name)
        return kept
