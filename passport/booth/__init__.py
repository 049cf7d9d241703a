"""The simulated hand, printer, paper, scanner and camera: for demo, tests and benchmarks.

From a printed PDF to a photo and its truth::

    pages = print_pages(pdf)                              # printer: (H, W) grey, 300 dpi
    filled = fill_form(pages, layout, answers, some_hand(7))  # hand, writer: (H, W, 3)
    photo = photograph(filled[0], Shot(ORDINARY, seed=7))     # camera, shot, grades: JPEG
    scans = scan_pdf(filled, Shot(FLAT_SCAN, seed=7))         # scanner: one PDF, any order
    at_px = geometry(Shot(ORDINARY, seed=7), page_mm).to_photo(points_mm)

``acts`` lists the slips and corrections a hand can make; ``glyphs`` how people write digits.
Everything follows from its seed. Nothing here is known to the reader.
"""
