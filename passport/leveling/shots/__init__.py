"""Test shots: the day's friction, the cross slope that weights feel, and whether levels agree.

The way through: timed glides give the friction and the lengthwise slope (``friction``); a path
solved numerically says what drift a slope, a hollow and an aim make (``path``); the drifts of all
lanes and directions give cross slope and the player's curve together (``drift``); they meet the
levels by their uncertainties (``agree``); ``tested`` puts it together, said in ``words``.
"""
