"""How long a printed page takes, warm, and how much memory; figures are printed, not judged."""

import pytest

BODY = """
from datetime import UTC, date, datetime
from importlib import resources
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place
from forms.sheet import print_forms
from passport.table_file import read_table
from passport.visits import KINDS

count = int(sys.argv[1])
text = (resources.files("passport") / "invented" / "long.toml").read_text()
table = read_table(text, "long.toml", "401273456")
make = KINDS["service"].form

def forms():
    form = make(table, printed_on=date(2026, 3, 2), last_visit=None, technicians=("AB",))
    return [place(form, Paper.LETTER, FormNumber.new()) for _ in range(count)]

def job():
    return print_forms(forms(), datetime(2026, 3, 2, tzinfo=UTC))

pages = sum(len(one.sheets) for one in forms())
found["pages"] = pages
found["page_s"] = seconds(job, runs=3 if count == 1 else 1) / pages
"""

FLOOR = """
import weasyprint
html = "<style>@page{margin:0;size:215.9mm 279.4mm}</style><p>one line</p>"
found["page_s"] = seconds(lambda: weasyprint.HTML(string=html).write_pdf())
"""


@pytest.mark.long
def test_a_hundred_pages_cost_about_as_much_each_as_one_form(measured, show):
    one, many, floor = measured(BODY, "1"), measured(BODY, "25"), measured(FLOOR)

    show(f"one form, {one['pages']:.0f} pages: {one['page_s'] * 1000:.0f} ms a page")
    show(f"  peak {one['peak_mb']:.0f} MB")
    show(f"25 forms in one go, {many['pages']:.0f} pages: {many['page_s'] * 1000:.0f} ms a page")
    show(f"  peak {many['peak_mb']:.0f} MB")
    show(f"a page with one line in the same process: {floor['page_s'] * 1000:.0f} ms")
    ratios = [found["page_s"] / floor["page_s"] for found in (one, many)]
    show(f"ratio to that: {ratios[0]:.1f}, {ratios[1]:.1f}")
    assert many["page_s"] < 3 * one["page_s"]
