"""A photo of a form in, one reading per field out, each with a confidence.

``scan.read.read_photo(path, layout_of)`` reads a file. What it is careful about, and how much,
stands in ``scan.guards.Guards``. Measurements loosen one guard at a time:
``read_photo(path, layout_of, guards=replace(GUARDS, stray_mm=inf))``.
"""
