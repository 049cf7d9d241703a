"""How long a 12 megapixel photo takes against the bare grey decode of the same file."""

from datetime import UTC, date, datetime
from importlib import resources

import pytest

from forms.layout import dumps
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_form
from passport.booth.camera import photograph
from passport.booth.grades import GOOD, ORDINARY
from passport.booth.hand import fill
from passport.booth.printer import print_pages
from passport.booth.shot import Shot
from passport.booth.writer import some_hand
from passport.table_file import read_table
from passport.visits import KINDS

READ = """
from pathlib import Path
import scan.read
from scan.opencv import cv2
import numpy as np
from forms.layout import loads

cv2.setNumThreads(1)
path, layout = Path(sys.argv[1]), loads(Path(sys.argv[2]).read_text())
data = np.frombuffer(path.read_bytes(), np.uint8)
found["decode_s"] = seconds(lambda: cv2.imdecode(data, cv2.IMREAD_GRAYSCALE), 9)
found["read_s"] = seconds(lambda: scan.read.read_photo(path, lambda number: layout), 9)
found["fields"] = len(scan.read.read_photo(path, lambda number: layout).pages[0].fields)
"""

DECODE = """
from scan.opencv import cv2
import numpy as np
from pathlib import Path

data = np.frombuffer(Path(sys.argv[1]).read_bytes(), np.uint8)
found["decode_s"] = seconds(lambda: cv2.imdecode(data, cv2.IMREAD_GRAYSCALE))
"""


@pytest.mark.long
@pytest.mark.parametrize("grade", [GOOD, ORDINARY], ids=lambda grade: grade.name)
def test_reading_a_photo_costs_a_few_decodes(measured, show, tmp_path, grade):
    text = (resources.files("passport") / "invented" / "long.toml").read_text()
    table = read_table(text, "long.toml", "401273456")
    form = KINDS["service"].form(
        table, printed_on=date(2026, 3, 2), last_visit=None, technicians=("AB",)
    )
    placed = place(form, Paper.LETTER, FormNumber.new())
    page = placed.layout.pages[1]
    blank = print_pages(print_form(placed, datetime(2026, 3, 2, tzinfo=UTC)))[1]
    answers = {field.id: field.options[4].value for field in page.fields if hasattr(field, "unit")}
    photo, layout = tmp_path / "page.jpg", tmp_path / "form.json"
    photo.write_bytes(photograph(fill(blank, page, answers, some_hand(1)), Shot(grade, seed=1)))
    layout.write_text(dumps(placed.layout))

    found, bare = measured(READ, str(photo), str(layout)), measured(DECODE, str(photo))

    ratio = found["read_s"] / found["decode_s"]
    size = photo.stat().st_size / 1e6
    show(f"{grade.name}: {found['fields']:.0f} fields, file of {size:.1f} MB")
    show(
        f"  grey decode {found['decode_s'] * 1000:.0f} ms, all read {found['read_s'] * 1000:.0f} ms"
    )
    show(f"  ratio {ratio:.1f}; peak {found['peak_mb']:.0f} MB")
    show(f"  peak of the decode alone {bare['peak_mb']:.0f} MB")
    assert ratio < 30
