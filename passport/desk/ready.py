"""Make a desk ready before anybody opens a page, so that the first page waits for nothing."""

import gc

from flask import Flask

from forms.typeface import width_mm


def make_ready(app: Flask) -> None:
    """Read all templates and typefaces; let the memory's housekeeping pass over the program itself.

    Going through everything that the program consists of takes longer than a page does.
    """
    for name in app.jinja_env.list_templates():
        app.jinja_env.get_template(name)
    for bold in (False, True):
        width_mm("ready", 9, bold=bold)
    gc.collect()
    gc.freeze()
