"""The cautions every page, every suggestion and the README carry, in one place."""

from __future__ import annotations

CAUTIONS: tuple[str, ...] = (
    "A clutch that fails at speed can kill. The hardware maker's limits, your sanctioning body's rules "
    "(approved containment, blankets, certified parts) and a qualified clutch technician outrank "
    "anything printed here.",
    "No suggestion passes the limits you wrote in garage.toml. Where you gave no limit, nothing is "
    "suggested for that adjustment.",
    "Work on the clutch only with the car safely supported, the engine off and the parts cool. "
    "Retorque by the maker's sheet.",
    "This is statistics about times. It says nothing about the strength of any part.",
)

IN_SHORT: tuple[str, ...] = (
    "A clutch that fails at speed can kill: the hardware maker's limits, your class rules and a qualified",
    "clutch technician outrank this. Nothing passes the limits in garage.toml. Work with the car supported,",
    "the engine off, the parts cool. Statistics about times say nothing about strength. In full on the page.",
)
"""The same as lines for a terminal, under a summary whose page carries them in full."""
