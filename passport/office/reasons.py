"""Why the advice on a table is what it is, with all that stands beside it: ``advise --why``."""

from passport.leveling.advice import Advice
from passport.leveling.evidence import evidence
from passport.leveling.explain import why_lines
from passport.leveling.seasons import season_lines, season_outlook
from passport.office import Office
from passport.office.filed import air_of
from passport.office.history import stands_of


def why_of(office: Office, number: str, advice: Advice) -> list[str]:
    """Explain an advice, then what seasons, loads and test shots say beside it.

    Parameters
    ----------
    office : Office
        Whose table.
    number : str
        The table's number.
    advice : Advice
        What was said of it.

    Returns
    -------
    list of str
        One printed line each.
    """
    table, visits, _ = stands_of(office, number)
    beside = evidence(table, visits)
    foreseen = season_outlook(table, visits, office.today, air_of(office, table))
    parts = {
        "Seasons:": season_lines(table, foreseen) if foreseen else (),
        "What the legs carry:": beside.load_lines,
        "Test shots:": beside.shot_lines,
    }
    told = [line for head, lines in parts.items() if lines for line in (head, *_in(lines))]
    return [*why_lines(table, visits, advice), *told]


def _in(lines: tuple[str, ...]) -> list[str]:
    return [f"  {line}" for line in lines]
