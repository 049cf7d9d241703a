"""How long each document takes, warm, beside a page with one line; figures are printed."""

from pathlib import Path

import pytest

BODY = """
sys.path.insert(0, sys.argv[1])
import weasyprint
from forms.paper import Paper
from forms.pdf import page_count
from passport.documents.actions import actions_pdf
from passport.documents.handover import handover_pdf
from passport.documents.passport import booklet_pdf, passport_pdf
from tests.endtoend.test_documents import CLOCK, TWICE, invented, told

makers = {"passport": passport_pdf, "booklet": booklet_pdf, "actions": actions_pdf,
          "handover": handover_pdf}
story, make = told(invented("long"), *TWICE), makers[sys.argv[2]]
html = "<style>@page{margin:0;size:215.9mm 279.4mm}</style><p>one line</p>"
found["pages"] = page_count(make(story, Paper.LETTER, CLOCK))
found["whole_s"] = seconds(lambda: make(story, Paper.LETTER, CLOCK), runs=3)
found["line_s"] = seconds(lambda: weasyprint.HTML(string=html).write_pdf())
"""


@pytest.mark.long
@pytest.mark.parametrize("document", ["passport", "booklet", "actions", "handover"])
def test_a_document_takes_at_most_a_hundred_times_a_page_with_one_line(measured, show, document):
    found = measured(BODY, str(Path(__file__).parents[2]), document)

    page_s = found["whole_s"] / found["pages"]
    show(f"{document}, {found['pages']:.0f} pages: {1000 * page_s:.0f} ms of processor a page,")
    show(f"  {page_s / found['line_s']:.0f} times one with one line; {found['peak_mb']:.0f} MB")
    assert page_s < 100 * found["line_s"]
