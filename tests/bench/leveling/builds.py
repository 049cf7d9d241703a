"""Tables of one build: what eight of them teach, and how fresh ones fare with and without it."""

from collections.abc import Callable
from dataclasses import replace

import numpy as np
from leveling.bridge import paper_of, papers, planner, visits_of
from leveling.hall import Bools, Hall, World
from leveling.rows import Share, share_of
from leveling.walk import Log, paper_visit, planned_visit

from passport.leveling.lessons import lesson
from passport.leveling.pooling import Source, pooled
from passport.table import Table

TEACHERS = 8
TAUGHT_VISITS = 2
EACH = 25  # fresh tables of one build

Rows = dict[str, tuple[Share, Share]]  # without and with
Leveled = Callable[[Hall], dict[str, Bools]]


def build_taught(table: Table, world: World, seed: int) -> Table:
    """Let eight tables be visited twice by the paper; give the table with what they teach."""
    hall, log = Hall(table, world, TEACHERS, np.random.default_rng(seed)), Log()
    for _ in range(TAUGHT_VISITS):
        paper = papers(hall, log)
        hall.begin_visit()
        log.visits.append(paper_visit(hall, paper, 2))
    lessons = [lesson(table, visits_of(hall, log, number)) for number in range(TEACHERS)]
    return replace(table, build_nuts=pooled([Source(one, 1) for one in lessons]))


def paper_both(table: Table, world: World, count: int, seed: int) -> Rows:
    """Level the same fresh tables by the paper, without and with what their build taught."""
    return _both(table, world, (count, seed), _by_paper)


def fresh_both(table: Table, world: World, count: int, seed: int) -> Rows:
    """Level the same fresh tables by the plan, without and with what their build taught."""
    return _both(table, world, (count, seed), _by_plan)


def _both(table: Table, world: World, many: tuple[int, int], leveled: Leveled) -> Rows:
    """Give each 25 tables a build of their own, with eight other tables to teach it."""
    found: dict[str, tuple[list[Bools], list[Bools]]] = {}
    count, seed = many
    for number in range(-(-count // EACH)):
        taught = build_taught(table, world, seed + 1000 * number)
        for arm, one in enumerate((table, taught)):
            hall = Hall(one, world, EACH, np.random.default_rng(seed + 1000 * number + 500))
            for name, good in leveled(hall).items():
                found.setdefault(name, ([], []))[arm].append(good)
    joined = {name: [np.concatenate(arm) for arm in arms] for name, arms in found.items()}
    return {name: (share_of(without), share_of(with_)) for name, (without, with_) in joined.items()}


def _by_plan(hall: Hall) -> dict[str, Bools]:
    hall.begin_visit()
    one, two = planned_visit(hall, Log(), planner(hall), 2)
    return {"plan, one pass": one, "plan, two passes": two}


def _by_paper(hall: Hall) -> dict[str, Bools]:
    found = {}
    paper = paper_of(hall.table)
    hall.begin_visit()
    for name in ("paper, one walk", "paper, two walks"):
        paper_visit(hall, paper, 1)
        found[name] = hall.good()
    return found
