"""What the command line says of visits and advice, a line each."""

from collections.abc import Sequence

from forms.numbers import grouped
from passport.documents import wording
from passport.leveling.advice import Advice, Move, StationState
from passport.office.filed import Filed
from passport.table import Table
from passport.visit import Visit


def visit_lines(visit: Visit, turned: Sequence[str]) -> list[str]:
    """Say a visit: when, who, what was turned, what waits."""
    who = f", {visit.technician}" if visit.technician else ""
    lines = [f"{wording.day(visit.date)}: {visit.kind}{who} (form {visit.form})"]
    lines += [f"  {line}" for line in turned]
    if visit.missing_pages:
        lines.append(f"  pages missing: {', '.join(map(str, visit.missing_pages))}")
    lines += [f"  waits: {doubt.label}: {doubt.why}" for doubt in visit.doubts]
    return lines


def record_lines(table: Table, one: Filed) -> list[str]:
    """Say a record that stands beside the leveling: when, of what kind, what it says and asks."""
    record = one.record
    lines = [f"{wording.day(record.date)}: {one.kind.name} (form {record.form})"]
    lines += [f"  {line}" for line in one.kind.tell(table, record)]
    if record.missing_pages:
        lines.append(f"  pages missing: {', '.join(map(str, record.missing_pages))}")
    return lines + [f"  waits: {doubt.label}: {doubt.why}" for doubt in record.doubts]


def advice_lines(table: Table, advice: Advice) -> list[str]:
    """Say the state of each station, the plan and the next visit."""
    lines = [f"Table {grouped(table.number)}, {table.name}: {advice.verdict.value}"]
    lines += [f"  ! {warning}" for warning in advice.warnings]
    lines += [f"  {_state_line(table, state)}" for state in advice.state]
    lines += [f"  > {_move_line(table, move)}" for move in advice.moves]
    lines += [f"  look again: {station}" for station in advice.look_again]
    lines += [f"  withheld: {doubt.label}: {doubt.why}" for doubt in advice.withheld]
    when = wording.day(advice.next_visit) if advice.next_visit else "not known"
    return [*lines, f"  next visit: {when}. {advice.next_visit_why}"]


def _state_line(table: Table, state: StationState) -> str:
    unit = wording.unit(table, state.quantity)
    measured = wording.measured(table, state)
    return f"{state.station} {state.quantity.value} [{unit}]: {measured}: {state.verdict.value}"


def _move_line(table: Table, move: Move) -> str:
    turn = "up" if move.steps > 0 else "down"
    if move.part == "inner nut":
        turn = "hollower" if move.steps > 0 else "flatter"
    what = f"{move.part} {turn} {wording.turns(move.steps, move.by)}"
    expected = wording.expected(table, move)
    return f"{move.station} {move.condition}: {what}; expected {expected}. {move.why}"
