"""Standard gravity."""

GRAVITY_M_PER_S2 = 9.80665  # 3rd CGPM 1901
