"""Every message, whole."""

import pytest

from scan import errors

MESSAGES = [
    (
        errors.ModelDamaged(0.5, "4.10.0"),
        "The digit reader's self-check fails: a stored digit scores 0.500 off (at most 0.01) with "
        "OpenCV 4.10.0. Install this program again with a version of OpenCV from 4.10 up to 5; "
        "until then type the forms in by hand.",
    ),
    (
        errors.FileUnreadable("a.jpg", "it is empty"),
        "a.jpg can't be opened as a picture: it is empty. Copy it again from the phone or scanner, "
        "as JPEG, PNG, TIFF or PDF.",
    ),
    (
        errors.HeicUnreadable("a.heic"),
        "a.heic is a HEIC photo, which this installation can't open. Set the phone's camera to "
        "JPEG (“most compatible”), or install the package pillow-heif on this machine.",
    ),
    (
        errors.TooDark(31),
        "The picture is too dark: its paper has brightness 31 of 255, at least 50 is needed. "
        "Photograph the page again by a window or lamp, without your own shadow on it.",
    ),
    (
        errors.Moved("left and right", 30.4),
        "The camera moved left and right while it took the picture, by 30 pixels. Hold it with "
        "both hands, lean on something, bring more light, photograph again.",
    ),
    (
        errors.CutOff(2, ["right edge", "lower edge"], {"a": "B1 found", "b": "B1 after"}),
        "The picture ends before the right edge and the lower edge of page 2, so these can't be "
        "read: B1 found, B1 after. Photograph the whole page with some ground around it.",
    ),
    (
        errors.Glare(2, "upper left", dict.fromkeys("abcdef", "B1 found")),
        "A lamp or window shines on the upper left of page 2 and hides B1 found, B1 found, B1 "
        "found, B1 found and 2 more. Turn the sheet or step aside until no bright spot is left on "
        "it, then photograph it again.",
    ),
    (
        errors.Shadow(3, "left side", {"a": "Cleaned"}),
        "A dark shadow lies on the left side of page 3 and hides Cleaned. Step out of the light, "
        "or bring the sheet into it, then photograph it again.",
    ),
    (
        errors.Blurred(22.4),
        "The picture is blurred: edges of the print are 22 pixels wide. Wipe the lens, tap on the "
        "page to focus, hold still or lean on something, photograph again.",
    ),
    (
        errors.TooSmall(2.5),
        "The page is too small in the picture: 2.5 pixels a millimetre, at least 4 are needed. Go "
        "nearer until the page fills the picture, or scan it at 200 dpi.",
    ),
    (
        errors.Mirrored(),
        "The picture is mirrored, left for right. Photograph the page with the camera on the "
        "phone's back, or switch mirroring off where the picture was scanned or edited.",
    ),
    (
        errors.Negative(),
        "The picture is a negative: its print is white on black. Switch inverted colours off in "
        "the camera, scanner or copier, and take it again.",
    ),
    (
        errors.NotAForm(),
        "No form was found in the picture: none of the black squares at a page's edges can be "
        "seen. Photograph the printed side, the whole page, flat on a plain dark ground.",
    ),
    (
        errors.EdgeMissing(2, 3, ("left edge", "lower edge")),
        "Only 3 of the 8 black squares of page 2 can be seen; missing: left edge, lower edge. "
        "Photograph the whole page with some ground around it, nothing lying on it.",
    ),
    (
        errors.MarksDisagree(1, 31.7),
        "The black squares of page 1 do not stand as they were printed: one is 32 mm off. "
        "Photograph each sheet by itself, unfolded.",
    ),
    (
        errors.PageTwice(3),
        "Two sheets that are both page 3 of a form are in the picture. Photograph each sheet by "
        "itself.",
    ),
    (
        errors.CodeUnreadable(1),
        "The QR code of page 1 can't be read, so its form is not known. Photograph the page again "
        "with the code at its upper left clean, sharp and without glare.",
    ),
    (
        errors.CodeForeign(1, "HELLO"),
        "The QR code on page 1 says “HELLO”, which is not the code of a form. Photograph the form "
        "itself, nothing lying on its code.",
    ),
    (
        errors.CodeDisagrees(1, "0000-0000-011", 2),
        "The black squares say page 1, the QR code says page 2 of form 0000-0000-011, or it stands "
        "where it was not printed. Photograph each sheet by itself, no label or other sheet lying "
        "on it.",
    ),
    (
        errors.FormUnknown("0000-0000-011", 1),
        "Form 0000-0000-011 (page 1) was not printed by this store. If another one printed it, "
        "bring in the layout file written beside it: layouts add FILE; then read the photo again.",
    ),
    (
        errors.PageUnknown("0000-0000-011", 4, 2),
        "The sheet says page 4, but form 0000-0000-011 was printed with 2. Bring in the layout "
        "file written beside it: layouts add FILE; then read the photo again.",
    ),
    (
        errors.LayoutForeign("0000-0000-011", 1, "X"),
        "The layout of form 0000-0000-011 gives page 1 the code “X”, which is not the code of a "
        "form. Bring in the layout file as it was written beside the form: layouts add FILE; then "
        "read the photo again.",
    ),
    (
        errors.PageBent(1, 1.24),
        "Page 1 is curled or folded: its boxes are 1.2 mm off where they were printed, at most "
        "0.8 mm is allowed. Press it flat, photograph it from straight above, or scan it.",
    ),
]


@pytest.mark.parametrize(("error", "text"), MESSAGES, ids=lambda part: type(part).__name__)
def test_message_says_what_was_found_and_what_to_do(error, text):
    assert str(error) == text


def test_every_problem_code_has_a_message():
    coded = {type(error).code for error, _ in MESSAGES if hasattr(type(error), "code")}

    assert coded == set(errors.ProblemCode)


def test_problem_carries_code_page_and_fields():
    problem = errors.PageBent(2, 1.0).problem(2, ["a", "b"])

    assert (problem.code, problem.page, problem.fields) == ("page bent", 2, ("a", "b"))
