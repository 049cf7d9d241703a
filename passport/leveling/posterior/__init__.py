"""One joint posterior over all that is unknown about a table, sharpened by every count."""
