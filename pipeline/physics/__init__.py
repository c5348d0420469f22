"""Pure functions in SI units: air, clutch, strip, wear."""
