"""Loads: the board's weight, what each leg and foot carries, how far a foot may go.

The way through: the board's wood gives weight and stiffness (``wood``); with its frame it is a bar
(``frame``); three moments say what legs that could also pull would carry (``moments``), twist
parts it between left and right (``feet``); feet push and never pull (``contact``); how far one may
move before another is slack (``travel``). What a visit says of the feet (``heights``) gives the
table's answer, a band over what is not known of its frame (``carried``), said in ``words``.
"""
