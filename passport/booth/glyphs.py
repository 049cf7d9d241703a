"""How people write digits: several shapes of each, as the path of the pen.

A digit is drawn in a cell 0.6 wide and 1 high, y downwards. A stroke is a list of points that a
smooth curve passes through; a point given twice is a corner. All shapes were drawn for this
project by hand; they come from no font and no data set.
"""

from collections.abc import Mapping

Path = tuple[tuple[float, float], ...]
Shape = tuple[Path, ...]

CELL_WIDTH = 0.6  # of the height


def _path(text: str) -> Path:
    """Read ``x,y x,y | x,y``: numbers in hundredths, a bar makes the point before it a corner."""
    points: list[tuple[float, float]] = []
    for word in text.split():
        if word == "|":
            points.append(points[-1])
            continue
        x, y = word.split(",")
        points.append((int(x) / 100, int(y) / 100))
    return tuple(points)


def _shape(*strokes: str) -> Shape:
    return tuple(_path(stroke) for stroke in strokes)


DIGITS: Mapping[str, tuple[Shape, ...]] = {
    "0": (
        _shape("34,2 12,13 3,50 12,88 30,99 50,87 57,50 49,13 32,1"),
        _shape("40,5 20,4 4,30 4,66 18,96 40,97 56,70 56,32 44,6 26,2 16,8"),  # overlapping
        _shape("26,4 8,22 6,62 22,97 42,94 55,66 52,28 40,7"),  # open at the top
        _shape("30,0 17,14 12,50 18,86 30,100 43,86 49,50 42,14 31,1"),  # narrow
        _shape("33,3 10,18 4,52 14,88 34,98 53,80 56,40 44,10 26,6 28,16 44,12 56,4"),  # looped
    ),
    "1": (
        _shape("31,0 30,50 29,100"),
        _shape("42,1 30,30 26,64 31,99"),  # bowed
        _shape("6,40 22,22 37,1 | 36,50 35,100"),  # European, long upstroke
        _shape("14,24 26,14 34,2 | 33,50 33,99"),  # short flag
        _shape("13,22 33,1 | 32,98", "10,99 32,98 54,98"),  # flag and foot
    ),
    "2": (
        _shape("6,22 18,4 40,3 53,20 44,46 24,74 4,98 | 30,96 57,96"),
        _shape("7,20 24,2 46,8 50,30 36,58 14,88 4,94 5,82 18,80 38,95 58,91"),  # loop at the foot
        _shape("8,16 28,1 50,10 52,32 34,60 6,96 | 20,92 38,98 57,90"),
        _shape("5,14 20,6 44,4 54,18 48,40 28,68 8,96 | 56,99"),
        _shape("9,26 14,8 32,1 48,12 46,36 28,66 7,91 16,91 34,95 55,99"),
    ),
    "3": (
        _shape("7,13 26,1 48,13 42,38 20,47 | 46,54 56,76 36,98 4,88"),
        _shape("6,3 30,4 53,2 | 40,18 24,38 | 48,48 56,74 38,97 6,91"),  # flat top
        _shape("10,10 30,0 50,16 40,40 26,46 26,50 48,56 54,80 32,100 6,92"),
        _shape("4,18 22,2 46,9 44,34 24,44 34,44 54,60 50,88 26,99 3,84"),
    ),
    "4": (
        _shape("14,2 10,30 5,58 | 30,59 58,57", "43,28 42,60 41,100"),  # open
        _shape("44,1 24,34 3,67 | 30,67 59,66", "44,1 43,50 42,100"),  # closed
        _shape("22,3 14,30 7,54 20,60 57,52", "46,14 42,60 38,99"),  # open, slanted
        _shape("57,67 30,68 4,66 | 24,32 43,2 | 43,50 43,99"),  # closed, in one stroke
        _shape("8,4 7,30 10,50 28,56 44,50", "46,3 45,50 44,100"),  # like a chair
    ),
    "5": (
        _shape("13,4 11,24 8,44 | 30,37 52,50 55,76 36,98 4,90", "13,4 34,5 56,3"),
        _shape("54,3 34,4 14,5 | 10,44 | 32,38 54,54 52,82 30,99 5,88"),  # one stroke
        _shape("52,6 30,3 15,12 12,34 22,42 44,50 54,72 42,95 20,99 5,91"),  # rounded
        _shape("16,6 13,44 | 34,42 50,58 48,84 28,97 6,95", "15,8 36,6 58,1"),
    ),
    "6": (
        _shape("46,2 22,22 6,60 14,92 36,99 54,80 44,59 22,58 8,74"),
        _shape("40,0 20,34 7,66 14,95 38,98 50,78 40,62 20,64 9,76"),
        _shape("50,6 34,2 14,24 4,62 16,94 40,97 56,76 46,57 24,56 8,68 6,74"),
        _shape("32,0 16,40 10,76 22,98 42,94 48,74 34,62 16,72 12,84"),
    ),
    "7": (
        _shape("4,5 30,4 57,3 | 42,36 30,66 22,100"),
        _shape("5,6 32,5 56,4 | 40,40 24,99", "12,50 32,49 52,47"),  # crossed
        _shape("6,18 7,5 | 30,6 56,3 | 40,36 32,66 30,99"),  # with a serif
        _shape("4,10 18,3 36,8 55,3 | 36,44 28,72 27,100", "16,53 48,50"),  # waved and crossed
        _shape("5,4 28,3 50,6 54,14 40,44 26,76 18,99"),  # round corner
    ),
    "8": (
        _shape("50,13 30,1 10,14 20,38 42,55 52,78 32,99 9,80 20,56 42,36 50,15"),
        _shape("29,47 10,30 16,7 34,1 49,14 45,36 29,47 | 8,66 10,90 30,100 51,88 49,62 29,47"),
        _shape("46,10 26,2 12,20 26,42 48,62 48,88 24,98 8,84 16,62 40,42 52,20 40,4"),
        _shape(
            "30,2 12,14 16,36 30,44 46,34 46,12 31,2", "30,46 9,62 12,90 31,99 52,86 48,60 31,46"
        ),
    ),
    "9": (
        _shape("51,14 32,1 9,14 10,38 28,48 46,34 51,14 | 49,56 46,100"),  # straight stem
        _shape("50,16 30,1 8,18 14,42 36,44 50,18 | 52,50 42,86 22,99 7,90"),  # curved tail
        _shape("46,8 24,3 8,22 16,44 38,42 50,12 | 46,50 38,99"),
        _shape("50,22 40,4 18,4 8,26 22,46 44,36 51,12 50,44 44,74 32,99"),  # in one sweep
        _shape("30,2 12,12 12,36 30,46 48,34 48,12 31,2", "49,10 47,60 48,100"),  # ring and stem
    ),
}
