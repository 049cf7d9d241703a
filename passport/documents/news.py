"""What is new since an earlier passport, in a few lines; the grid marks the same with bars."""

from passport.documents import wording
from passport.documents.house import Story
from passport.leveling.advice import Advice, StationState


def news(story: Story) -> tuple[str, ...]:
    """List what differs from the earlier passport; nothing where there is none."""
    before = story.before
    if before is None:
        return ()
    lines = [*_visits(story), *_verdicts(story, before), *_next_visit(story.advice, before)]
    return tuple(lines) or ("Nothing.",)


def _visits(story: Story) -> list[str]:
    return [
        f"{visit.kind.capitalize()} visit of {wording.day(visit.date)}"
        + (f" by {visit.technician}." if visit.technician else ".")
        for visit in story.visits
        if story.is_new(visit)
    ]


def _verdicts(story: Story, before: Advice) -> list[str]:
    """Name the stations whose verdict is another one, alike ones together."""
    was = {_key(state): state.verdict for state in before.state}
    groups: dict[tuple[str, str, str], list[str]] = {}
    for state in story.advice.state:
        former = was.get(_key(state))
        if former is not None and former is not state.verdict:
            said = (str(state.quantity), wording.VERDICTS[former], wording.VERDICTS[state.verdict])
            groups.setdefault(said, []).append(state.station)
    return [
        f"{quantity.capitalize()}: {wording.stations(tuple(names))} now {now}, was {former}."
        for (quantity, former, now), names in groups.items()
    ]


def _key(state: StationState) -> tuple[str, str]:
    return state.station, state.quantity


def _next_visit(now: Advice, before: Advice) -> list[str]:
    if now.next_visit is None or now.next_visit == before.next_visit:
        return []
    was = f", was {wording.month(before.next_visit)}" if before.next_visit else ""
    return [f"Next visit: {wording.month(now.next_visit)}{was}."]
