"""Many cars of one clutch type at once."""
