"""The whole job once, on invented tables: a hidden truth, a technician, an office."""
