"""How dark this page's print and pen are."""

from dataclasses import dataclass, replace

import numpy as np

PALEST = 0.022  # darkness inside a box below which nothing was written, on a page without grain
GRAINS = 2.5  # times what most boxes hold
MOST_BLANK = 0.08  # as far as grain may raise that
MOST_GRAIN = 10.0  # standard deviations of grain that a blank box's core may reach
GRAIN_SHARE = 0.6  # of the palest mark, as far as grain is believed
TRACE = 6.5  # standard deviations of grain from which on a figure is a pale mark, of any pen
TRACES = (3.4, 9.0)  # where a page's palest marks would drown in grain, and where they stand out
PALE = 0.047  # of a page's usual mark: the palest that its hand makes
WRITTEN = 0.12  # darkness of the palest pen
UNKNOWN_PEN = 0.17  # of the palest mark on a page that holds fewer than
FEW = 3  # marks to tell its pen by
PALE_PEN = 0.3  # darkness of usual marks below which they may be what an eraser left
DRY_PEN = 0.2  # and below which a pen that runs dry does not leave them
RUBBED = 6  # marks to tell an eraser by
FULL = 0.7  # of a box's inside that only a marker, a filling or a scribble covers
UNEVEN = 1.6  # times the palest tenth, the darkest tenth; pens keep below 1.25, erasers do not
DRYING = 2.0  # and one that runs dry in a bad photo
PALER = 1.3  # times thin outlines: usual marks are darker, of hard pencil in bad photos 1.32
PALE_SHARE = 0.67  # of the page's usual mark; one hand's own marks vary down to 0.73
PALEST_OUTLINE = 0.04  # darkness of outlines below which none is seen on the page


@dataclass(frozen=True)
class Norm:
    """What is usual on a page.

    ``blank`` is the darkness inside a box below which nothing was written, ``inked`` above which a
    mark is there; between them nothing is claimed. ``outline`` is that of its thin outlines.
    """

    blank: float
    inked: float
    outline: float


@dataclass(frozen=True)
class Marks:
    """The boxes with a mark: their cores (M,), and the shares of their insides that it covers."""

    cores: np.ndarray
    covers: np.ndarray


def norm_of(cores: np.ndarray, outlines: np.ndarray, marks: Marks) -> Norm:
    """Find what is usual from the boxes' cores (N,) and outlines (N, 4), and from marks."""
    if not len(cores):
        return Norm(PALEST, UNKNOWN_PEN, PALEST_OUTLINE)
    usual = float(np.percentile(cores, 25))
    blank = min(max(PALEST, GRAINS * min(usual, 0.5 * WRITTEN)), MOST_BLANK)
    print_ = usual_outline(outlines)
    inked = _least_mark(marks.cores[marks.cores > blank], marks, print_)
    return Norm(blank, max(WRITTEN, blank, inked), print_)


def usual_outline(outlines: np.ndarray) -> float:
    """Darkness of a page's thin outlines, from all (N, 4)."""
    return float(np.percentile(outlines, 30))


def is_written(cores: np.ndarray, grain: np.ndarray) -> np.ndarray:  # (N,) bool
    """Tell cores (N,) that are darker than grain (N,) makes paper."""
    return cores > np.maximum(WRITTEN, MOST_GRAIN * grain)


def _least_mark(pens: np.ndarray, marks: Marks, outline: float) -> float:
    """Say how dark a mark is at least on a page with marks (N,) and outlines as dark as these."""
    if len(pens) < FEW:
        return UNKNOWN_PEN
    usual = float(np.median(pens))
    if usual < PALER * outline or _is_rubbed(usual, marks):
        return 1.01 * float(pens.max())  # rubbed out, all of them: none is claimed to be a mark
    return PALE_SHARE * usual


def _is_rubbed(usual: float, marks: Marks) -> bool:
    """Tell what an eraser leaves from a pen; boxes filled or scribbled full are darker anyway."""
    thin = marks.cores[marks.covers < FULL]
    if usual >= PALE_PEN or len(thin) < RUBBED:
        return False
    palest, darkest = np.percentile(thin, (10, 90))
    return bool(darkest > (UNEVEN if usual < DRY_PEN else DRYING) * palest)


@dataclass(frozen=True)
class Paper:
    """How grainy it is (N,), and what share of the page's darkness is left (N,), in each box."""

    grain: np.ndarray
    contrast: np.ndarray


@dataclass(frozen=True)
class Limits:
    """From which on a box is not blank, and from which on it is marked.

    ``blank`` and ``inked`` are the darkness (N,) of cores, ``trace`` that of figures (N,), in
    standard deviations of grain.
    """

    blank: np.ndarray
    inked: np.ndarray
    trace: np.ndarray


def limits_of(norm: Norm, paper: Paper, cores: np.ndarray, traces: np.ndarray) -> Limits:
    """Say what the norm is in each box, on the paper there, from cores (N,) and traces (N,)."""
    grain = paper.grain
    blank = np.maximum(norm.blank, np.minimum(MOST_GRAIN * grain, GRAIN_SHARE * norm.inked))
    inked = np.maximum(paper.contrast * norm.inked, blank)
    if norm.inked <= norm.blank:
        return Limits(blank, inked, np.full(len(cores), np.inf))
    pens = cores >= inked
    if pens.sum() < FEW:
        return Limits(blank, inked, np.full(len(cores), TRACE))
    here = np.median((traces * grain)[pens]) / grain
    palest = PALE * np.minimum(here, np.median(traces[pens]))
    return Limits(blank, inked, np.clip(palest, *TRACES))


def narrowed(norm: Norm, share: float) -> Norm:
    """Keep a share of the band in which nothing is claimed; 1 is all of it, 0 none."""
    return replace(norm, inked=norm.blank + share * (norm.inked - norm.blank))
