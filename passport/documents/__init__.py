"""Printed documents and the care page: passport, label, next actions.

Plain values in (a table, its visits, the calculator's advice), bytes or text out; no store.
"""
