"""What holds however blocks are stacked."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from forms.field import Box, Tick
from forms.form import Block, Form
from forms.layout import Page
from forms.numbers import FormNumber
from forms.paper import Paper
from forms.place import place

NUMBER = FormNumber("16JD000000M")


@st.composite
def stacks(draw: st.DrawFn) -> tuple[Block, ...]:
    """Up to six blocks, at most three of them kept together so that they fit a page."""
    count = draw(st.integers(0, 6))
    return tuple(
        Block(
            f"b{index}",
            height := draw(st.floats(8, 60)),
            fields=(tick(f"b{index}", 0), tick(f"e{index}", height - 4)),
            new_page=draw(st.booleans()),
            keep_with_next=draw(st.booleans()) and index % 3 != 2,
        )
        for index in range(count)
    )


def tick(name: str, y: float) -> Tick:
    return Tick(name, "", Box(0, y, 4, 4))


BLOCKS = stacks()
PAPERS = st.sampled_from(Paper)


def pages_of(blocks: tuple[Block, ...], paper: Paper) -> tuple[Page, ...]:
    return place(Form("t", "T", "1", (), blocks), paper, NUMBER).layout.pages


def homes(pages: tuple[Page, ...]) -> dict[str, tuple[int, float]]:
    """Page and y of each field."""
    return {field.id: (page.page, field.box.y) for page in pages for field in page.fields}


@given(BLOCKS, PAPERS)
def test_every_box_stands_in_the_body(blocks: tuple[Block, ...], paper: Paper) -> None:
    body = paper.body
    spots = [(y, y + 4) for _, y in homes(pages_of(blocks, paper)).values()]

    assert all(body.y <= top and low <= body.y + body.height + 0.01 for top, low in spots)


@given(BLOCKS, PAPERS)
def test_blocks_are_never_split_and_keep_their_order(
    blocks: tuple[Block, ...], paper: Paper
) -> None:
    found = homes(pages_of(blocks, paper))
    tops = [found[f"b{index}"] for index in range(len(blocks))]

    assert [found[f"e{index}"][0] for index in range(len(blocks))] == [page for page, _ in tops]
    assert tops == sorted(tops)


@given(BLOCKS, PAPERS)
def test_what_stays_together_is_on_one_page_unless_a_new_one_was_asked_for(
    blocks: tuple[Block, ...], paper: Paper
) -> None:
    found = homes(pages_of(blocks, paper))

    for before, after in pairwise(blocks):
        same = found[before.name][0] == found[after.name][0]
        assert same or not before.keep_with_next or after.new_page


@given(BLOCKS, PAPERS)
def test_a_new_page_begins_at_the_top(blocks: tuple[Block, ...], paper: Paper) -> None:
    found = homes(pages_of(blocks, paper))
    asked = [block for block in blocks if block.new_page]

    assert {found[block.name][1] for block in asked} <= {paper.body.y}
