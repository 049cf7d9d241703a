"""The simulated hand, printer, paper and camera."""
