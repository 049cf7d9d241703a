"""Seconds and memory of the advice on five legs, eight brackets and fifty visits.

Measured in a process of its own, one thread, right after a new visit was recorded: nothing may be
kept from before but what the function itself keeps. Seconds of the processor, which are those of
the clock on a machine that does nothing else.
"""

from pathlib import Path

BODY = """
    sys.path.append(sys.argv[1])
    import numpy as np
    from leveling import rows, tables
    from leveling.bridge import EVERY, FIRST_DAY, papers, visits_of
    from dataclasses import replace
    from leveling.walk import Log, paper_visit
    from passport.leveling.advise import advise
    from passport.leveling.posterior.filter import known_at
    from passport.leveling.surface import estimates_of
    from passport.leveling.walks import Moment
    from passport.visit import Doubt

    hall, log = rows.hall_of(tables.five_legs(), 4, 71), Log()
    for _ in range(50):
        hall.begin_visit()
        log.visits.append(paper_visit(hall, papers(hall, log), 2))
    today = FIRST_DAY + 49 * EVERY
    histories = [visits_of(hall, log, table) for table in range(4)]
    advise(hall.table, histories[0], today=today)  # imported, warm
    def slowest(ask):
        took = []
        for history in histories[1:]:
            ask(history[:-1])
            start = time.process_time()
            ask(history)
            took.append(time.process_time() - start)
        return max(took)

    def state(history):
        known = known_at(hall.table, history)
        return estimates_of(hall.table, history[-1], known, Moment.LEFT)

    def whole(history):
        assert not any("not proved best" in said for said in advise(
            hall.table, history, today=today).warnings)

    found["state_s"], found["s"] = slowest(state), slowest(whole)
    for history in histories:  # the fifth visit: a page is missing, a mark waits, no date
        first = replace(history[4].passes[0], brackets={})
        waits = Doubt("L1.pass1.found", "L1 found", "two marks")
        history[4] = replace(history[4], date=None, passes=(first,), missing_pages=(2,),
                             doubts=(waits,))
    found["odd_s"] = slowest(whole)
"""


def test_advice_on_fifty_visits_is_quick_and_small(show, measured):
    found = measured(BODY, str(Path(__file__).parents[1]))
    show(
        f"advice, five legs, eight brackets, fifty visits: {1000 * found['s']:.0f} ms "
        f"(demanded: at most 1000), without the plan {1000 * found['state_s']:.0f} ms (100), with "
        f"an incomplete fifth visit {1000 * found['odd_s']:.0f} ms, memory "
        f"{found['peak_mb']:.0f} MB (300)"
    )

    assert (found["peak_mb"] < 300, found["s"] < 1, found["odd_s"] < 1) == (True, True, True)
    assert found["state_s"] < 0.1
