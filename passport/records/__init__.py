"""The store: events, projections, files, migrations."""
