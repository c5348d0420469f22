"""What a bench card says in sentences: where the clutch should lock, and how it has worn."""

from __future__ import annotations

from pipeline.physics.bench_records import BenchCard, WearState


def meeting_sentence(card: BenchCard) -> str:
    """Say where capacity meets the engine's torque; empty when that cannot be worked out.

    Parameters
    ----------
    card
        From :func:`pipeline.physics.bench_card.bench_card`.

    Returns
    -------
    str

    References
    ----------
    Friction is a range, so the place is one too; it is shown, never trusted blindly.
    """
    meetings = sorted((*card.meeting_rpm_high_friction, *card.meeting_rpm_low_friction))
    if not meetings:
        return ""
    first, last = meetings[0], meetings[-1]
    place = f"at {first:.0f} rpm" if last - first < 1.0 else f"between {first:.0f} and {last:.0f} rpm"
    return f"Worn in, it holds the engine's torque from somewhere {place}, as friction will have it."


def wear_sentences(wear: WearState) -> tuple[str, ...]:
    """Say ring height, growth, runs to service and shims, as far as each is known.

    Parameters
    ----------
    wear
        Of a bench card.

    Returns
    -------
    tuple of str
        Empty when nothing was measured.

    References
    ----------
    As :mod:`pipeline.physics.wear`.
    """
    found = []
    if wear.ring_height_in is not None:
        grown = wear.grown_since_service_in
        since = "" if grown is None else f", {grown:+.4f} in since service or new"
        found.append(f"Ring height {wear.ring_height_in:.4f} in{since}.")
    if wear.growth_in_per_run is not None:
        found.append(f"It grows {wear.growth_in_per_run:.5f} in a run{_until_service(wear)}.")
    if wear.shims_in:
        pieces = " + ".join(f"{piece:.3f}" for piece in wear.shims_in)
        found.append(f"Shims that bring it back without passing it: {pieces} in from under each stand.")
    return tuple(found)


def _until_service(wear: WearState) -> str:
    if wear.runs_to_service is None:
        return ""
    if wear.runs_to_service <= 0.0:
        return "; service is due"
    sooner, later = wear.runs_to_service_sooner, wear.runs_to_service_later
    spread = "" if sooner is None or later is None else f" ({sooner:.0f} to {later:.0f})"
    return f"; about {wear.runs_to_service:.0f} runs{spread} are left to service"
