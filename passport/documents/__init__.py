"""Passport, label, next actions, care page: templates and their data."""
