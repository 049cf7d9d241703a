"""Two feet a leg: bending carries the legs' loads, twist parts them between left and right."""

import numpy as np

from passport.leveling.loads.moments import Array, Bar, Held, hold


def hold_feet(bar: Bar, x_m: Array, spacing_m: Array) -> Held:
    """Hold a bar at both feet of N legs.

    Crosswise the bar is stiff; each leg's twist is what its feet differ by over their spacing.

    Parameters
    ----------
    bar : Bar
        Weight and stiffness against bending and twist.
    x_m : ndarray of shape (N,), N ≥ 2
        Legs from end A, rising. [m]
    spacing_m : ndarray of shape (N,)
        Between the two feet of a leg. [m]

    Returns
    -------
    Held
        Of 2 N feet: all left ones, then all right ones.
    """
    legs = hold(bar, x_m)
    half = np.eye(len(x_m)) / 2
    middle = np.hstack([half, half])  # (N, 2 N): heights of feet to height of the leg
    across = np.diag(1 / spacing_m)
    lean = np.hstack([across, -across])  # (N, 2 N): to the twist at the leg
    bend = middle.T @ legs.stiffness @ middle
    return Held(middle.T @ legs.level, bend + lean.T @ _twist(bar, x_m) @ lean)


def _twist(bar: Bar, x_m: Array) -> Array:
    """Give the torque at each leg per twist of each: G J / span between neighbours."""
    count = len(x_m)
    stiffness = np.zeros((count, count))
    for i, span in enumerate(np.diff(x_m)):
        pair = np.array([[1.0, -1.0], [-1.0, 1.0]])
        stiffness[i : i + 2, i : i + 2] += bar.torsion_n_m2 / span * pair
    return stiffness
