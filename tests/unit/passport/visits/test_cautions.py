"""Every caution of the trade stands on the paper where it belongs, beside the step it is about.

Words as they are usual in the trade and on labels (common practice, no source; hazard statements
are copied from the container by whoever fills the form in). They defer to local rules, to the
employer's lifting assessment, to makers and to licensed people.
"""

import re
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from passport.documents import texts
from passport.table_file import read_table
from passport.visits import KINDS

INVENTED = Path(__file__).parents[4] / "passport" / "invented"

AREA = (
    "children, guests and pets",
    "until the table stands on all its legs",
    "No tools, sprays or screws left lying",
)
UNDER = (
    "Under the table only when it stands on all its legs",
    "nobody leaning or playing",
)
UNDER_WELL_LIT = (*UNDER, "frame joined", "eye protection, light, mind the head")
FOOT = ("both feet of the leg bear", "fingers out of the gap", "jack only as its maker says")
SPRAY = (
    "the label and the safety data sheet decide",
    "Air the room; no flame, pilot light, heater, hot lamp or smoking",
    "not near food or people",
    "over the floor",
    "very slippery",
    "Don’t breathe wax dust",
    "Cans away from heat and children",
)
LINE = ("weight hung low and away from feet", "nobody in line with it", "eye protection")
LASER = ("below eye height", "class as on its label", "look into the beam or its reflection")
SHOT = ("Nobody at the far end with hands on the board or in the gutter",)
CREW = ("crew and aids come from the employer’s lifting assessment",)
MISSING = ("Aid or helper missing: stop",)
UNSAFE = ("Unsafe: close the table, tell the customer now; the office telephones today",)
ELECTRIC = ("where a nut, foot or edge can crush it", "a licensed electrician")
HANDS_OFF = ("Never lift, move, jack or lean", "never undo a nut")

PLACES = [  # kind of form, block, what must stand there
    *((kind, "area", AREA) for kind in ("service", "spare", "surface")),
    ("installation", "stage area", ("Area closed, floor covered", *AREA)),
    *((kind, "legs head", (*UNDER_WELL_LIT, *FOOT, *MISSING)) for kind in ("service", "spare")),
    *((kind, "legs head", ("Never more than ONE quarter turn a foot at a time, alternating",))
      for kind in ("service", "spare")),
    ("service", "legs head", ("Stop at the most quarters named beside “up”",)),
    ("spare", "legs head", ("Stop when the thread left in the leg is shorter",)),
    *((kind, "brackets head", (*UNDER_WELL_LIT, "Nut stiff, rod bent or wood cracking: stop"))
      for kind in ("service", "spare")),
    ("service", "pass sheet", (*UNDER, "one quarter turn a foot at a time", "fingers out of the")),
    ("service", "feet", ("Jam nuts loose first, tight last",)),
    ("service", "rise", (*LINE, *LASER)),
    ("spare", "rise head", (*LINE, *LASER)),
    ("survey", "floor", LASER),
    *((kind, "shots", SHOT) for kind in ("service", "spare")),
    *((kind, "surface", SPRAY) for kind in ("service", "spare", "surface")),
    ("surface", "used", ("as printed there: name, batch and hazard statements",
                          "Container without a readable label: don’t use it")),
    ("surface", "area", ("Nothing is turned on this visit: no nut, no foot",)),
    ("surface", "glide", SHOT),
    *((kind, "changed", (*CREW, "nobody under it, never held up with legs or back", *ELECTRIC,
                         "overhead parts", "Unplug before moving wires"))
      for kind in ("service", "spare")),
    *((kind, "notes", UNSAFE) for kind in ("service", "spare", "surface", "survey", "kit",
                                           "installation")),
    ("kit", "edge", ("Feelers and edges cut",)),
    ("survey", "way in", ("Never carry a trial piece alone",)),
    ("survey", "floor", ("A qualified person decides on the load before delivery",
                         "until then nothing is delivered")),
    ("survey", "sockets", ("a licensed electrician only", "where a foot or edge crushes it")),
    ("survey", "help", (*CREW, "guests and passers-by don’t lift", *MISSING)),
    ("installation", "stage legs", ("Turning a frame is a team lift", *CREW,
                                    "A half frame on its legs tips: prop it until joined")),
    ("installation", "stage wires", ("Unplug before laying or moving wires", *ELECTRIC,
                                     "ladder on firm floor, fixings as the maker says")),
    *(("installation", f"stage {stage}", FOOT) for stage in ("first_level", "legs_again")),
    ("installation", "stage rise", (*LINE, "fingers out of the gap")),
    *(("installation", f"stage {stage}", UNDER_WELL_LIT)
      for stage in ("brackets", "hollow", "supports")),
    ("installation", "stage board", (
        "Nobody lies, sits or reaches under a board that is held by people or not yet on firm",
        "no hand between board and frame", "never held up with legs or back",
        "never lowered alone or short-handed", *MISSING, "purpose-made blocks",
        "drawn out from the side by tape", "One calls")),
    ("installation", "calls", ("ONE person calls", "STOP", "purpose-made")),
    *(("installation", f"stage {stage}", SPRAY) for stage in ("trial", "surface")),
    ("installation", "stage trial", SHOT),
    ("installation", "stage hand_over", (*HANDS_OFF, "no climbing, sitting or crawling under",
                                         "stop playing and call")),
    ("card", "stop", ("a wire is bare: stop playing, keep everybody off it and call",)),
    ("card", "drift", SHOT),
    ("card", "back", (*HANDS_OFF, "No climbing, sitting or crawling under it, above all by",
                      "What happens with it A computer at the office reads the marks",
                      "No names or people in it", "Wax on the floor is very slippery: sweep it up",
                      "locked away from children", "Fingers off the board’s end and the gutter")),
]  # fmt: skip


@cache
def blocks(kind: str) -> dict[str, str]:
    """All words of each block of a form for the longest table, wrapped lines joined."""
    table = read_table((INVENTED / "long.toml").read_text(), "long", "100000181")
    form = KINDS[kind].form(
        table, printed_on=date(2026, 11, 2), last_visit=None, technicians=("AB",)
    )
    return {block.name: plain(" ".join(text.text for text in block.texts)) for block in form.blocks}


def plain(text: str) -> str:
    return re.sub(r"\s+", " ", text).lower()


@pytest.mark.parametrize(("kind", "block", "cautions"), PLACES, ids=lambda one: str(one)[:40])
def test_caution_stands_beside_the_step_it_is_about(kind, block, cautions):
    said = blocks(kind)[block]

    assert [one for one in cautions if plain(one) not in said] == []


CUSTOMER = [
    *("no climbing, sitting or lying on the table and no crawling under it", "Never lift, move"),
    *("jack or lean", "Never undo a nut or turn a foot", "off the board's ends and out of the"),
    *("Sweep up wax from the floor at once: it is very slippery", "locked away"),
    "If the table rocks or cracks, or a wire is bare: stop playing, keep people away and call",
]


@pytest.mark.parametrize("caution", CUSTOMER)
def test_customer_is_told_each_caution(caution):
    assert plain(caution) in plain(" ".join(texts.CUSTOMER_CAUTIONS))


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_no_form_promises_that_anything_is_safe(kind):
    words = re.findall(r"[a-z]+", " ".join(blocks(kind).values()))

    assert not {"safe", "safely"} & set(words)
