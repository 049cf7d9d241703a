"""The form language: fields on paper, their place in millimetres, their printing and numbers.

From a description to paper and back::

    form = Form(...)                                # forms.form, forms.field
    number = FormNumber.new()                       # forms.numbers; also TableNumber, CareToken
    placed = place(form, Paper.LETTER, number)      # forms.place, forms.paper; also copied
    pdf = print_form(placed, printed_at)            # forms.sheet; many at once: print_forms
    text = dumps(placed.layout)                     # forms.layout; back again: loads

    form_number, page = parse_page_code(text)       # forms.marks; also qr_matrix, modules_path
    width = width_mm(text, size_pt)                 # forms.typeface; also wrap, line_mm
    crowded = collisions(placed)                    # forms.crowding: texts over texts or boxes
    pdf = laid_out(html, style, identifier).pdf()   # forms.pdf: other documents; also joined
"""
