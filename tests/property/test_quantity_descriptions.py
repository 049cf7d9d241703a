"""Whatever a description says, it becomes a table or a message."""

import json
import tomllib

from hypothesis import given
from hypothesis import strategies as st

from passport.description.errors import DescriptionUnusable
from passport.invented import invented_descriptions
from passport.table import Role, Table
from passport.table_file import describe, read_table
from passport.table_plain import from_plain, to_plain

WHOLE = tomllib.loads(invented_descriptions()[2][1])
QUANTITIES = st.builds(
    "{}{} {}".format,
    st.sampled_from(["", "-", "1 "]),
    st.sampled_from(["0", "1/2", "1", "2.5", "12", "300", "1,200", "999999999"]),
    st.sampled_from(["in", "ft", "mm", "m", "mm/m", "in/ft", "deg", "thou", ""]),
)
WORDS = st.sampled_from(["end", "center", "left", "M10", "3/8-16", "M10x9", "metric", "May", ""])
LIKELY = st.sampled_from(["5 ft", "100 in", "300 mm", "0.1 in", "2 mm", "1 mm/m", "M10", "centre"])
LINES = st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=70)
PLAIN = QUANTITIES | WORDS | LINES | st.booleans() | st.integers(-9, 10**12) | st.floats(-9, 9)
KEYS = st.sampled_from(["at", "length", "card", "role", "thread", "hand", "rise", "name", "x"])
VALUES = PLAIN | st.lists(PLAIN, max_size=2) | st.dictionaries(KEYS, PLAIN, max_size=3)


def places(values: dict, path: tuple = ()) -> list[tuple]:
    found = []
    for key, value in values.items():
        found.append((*path, key))
        if isinstance(value, dict):
            found += places(value, (*path, key))
        if isinstance(value, list):
            inner = [dict(enumerate(value))] if value and isinstance(value[0], dict) else []
            found += [place for entry in inner for place in places(entry, (*path, key))]
    return found


PLACES = places(WHOLE)


def in_toml(value: object) -> str:
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key} = {in_toml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(in_toml(item) for item in value) + "]"
    return json.dumps(value)


def text_with(changes: list[tuple[tuple, object]]) -> str:
    document = json.loads(json.dumps(WHOLE))
    for path, value in changes:
        holder = document
        try:
            for key in path[:-1]:
                holder = holder[key]
            holder[path[-1]] = value
        except (KeyError, TypeError, IndexError):
            continue  # an earlier change took this place away
    return "\n".join(f"{key} = {in_toml(value)}" for key, value in document.items())


def read(text: str) -> Table | str:
    try:
        return read_table(text, "any.toml", "401273456")
    except DescriptionUnusable as problem:
        return str(problem)


CHANGES = st.lists(st.tuples(st.sampled_from(PLACES), LIKELY | VALUES), min_size=1, max_size=3)
FEW = st.tuples(st.sampled_from(PLACES), LIKELY).map(lambda change: [change])


@given(CHANGES)
def test_any_description_is_a_table_that_can_be_told_and_stored_or_a_message(changes: list):
    found = read(text_with(changes))

    if isinstance(found, str):
        assert found.startswith("any.toml has ")
    else:
        assert (from_plain(to_plain(found)), bool(describe(found))) == (found, True)


@given(FEW)
def test_any_table_read_is_one_that_can_stand(changes: list):
    found = read(text_with(changes))

    if isinstance(found, Table):
        roles = [leg.role for leg in found.legs]
        places_mm = [0.0, *(leg.x_mm for leg in found.legs), found.board.length_mm]
        assert (roles[0], roles[-1], places_mm) == (Role.END, Role.END, sorted(places_mm))


@given(st.integers(800, 12_000))
def test_any_board_of_a_plain_description_becomes_a_table(length_mm: int):
    text = f'name="a"\nsite="b"\nboard={{length="{length_mm} mm"}}\nkit={{card="0.1 mm"}}'

    table = read_table(text, "any.toml", "401273456")
    ends = table.legs[0].x_mm + table.legs[-1].x_mm
    assert abs(ends - length_mm) < 1e-6
