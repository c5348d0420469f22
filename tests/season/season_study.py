"""How honest the model is on seasons whose truth is known: one table, by kind of racer.

    python -m tests.season.season_study 200

prints, for every policy, how often 95 % intervals cover the true average step effects and the true
parts of the season's change, how often something that does nothing is said to have moved the time,
and how often each verdict fell on what matters. The truth is a launch simulation that shares no
formula with the model (see ``tests/simulation``). With the word ``held`` after the number, events are
also left out and predicted, which takes as long again.
"""

from __future__ import annotations

import sys
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field

import numpy as np

from pipeline.season.effects import effects
from pipeline.season.expected import held_out, run_checks
from pipeline.season.response_fit import fit_response
from pipeline.season.results import Response
from pipeline.season.season_change import first_and_last_third
from pipeline.season.spreads import DEFAULT
from pipeline.season.spreads import Settings as FitSettings
from tests.simulation.seasons import POLICIES, Policy, simulated_season

SMALL_PART_S = 1e-4  # a part narrower than a tenth of a thousandth is zero in print: covered within it


@dataclass
class Study:
    """Tallies over the seasons of one policy; lists hold one entry a season."""

    policy: Policy
    covered: dict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    error_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    width_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    verdicts: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    part_covered: dict[str, list[bool]] = field(default_factory=lambda: defaultdict(list))
    part_error_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    part_width_s: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    sum_error_s: list[float] = field(default_factory=list)
    held_90: list[float] = field(default_factory=list)
    held_95: list[float] = field(default_factory=list)
    flagged: list[float] = field(default_factory=list)

    def share_covered(self) -> float:
        """Share of all effects' intervals that hold the truth."""
        return float(np.mean([v for values in self.covered.values() for v in values]))

    def share_parts_covered(self) -> float:
        """Share of all waterfall parts' intervals that hold the truth."""
        return float(np.mean([v for values in self.part_covered.values() for v in values]))

    def share_moved(self, names: Iterable[str]) -> float:
        """Share of seasons in which any of the named adjustments is said to have moved the time."""
        columns = [np.array(self.verdicts[name]) == "moved" for name in names if name in self.verdicts]
        return float(np.mean(np.any(columns, axis=0))) if columns else 0.0


def study(
    policy: Policy,
    seeds: Iterable[int],
    *,
    runs: int = 120,
    events: int = 10,
    response: Response = "t60",
    parts: bool = True,
    held: bool = False,
    settings: FitSettings = DEFAULT,
) -> Study:
    """Fit every season of a policy and hold the answers to its truth."""
    found = Study(policy)
    for seed in seeds:
        season = simulated_season(seed, policy, runs, events)
        fit = fit_response(season.frame, season.facts, response, settings)
        truth = season.truth.step_effects(response)
        for effect in effects(fit):
            step = fit.posterior.contrast(fit.slope(effect.adjustment))
            name, true = effect.adjustment, truth[effect.adjustment]
            found.covered[name].append(bool(step.low[0] <= true <= step.high[0]))
            found.error_s[name].append(float(step.mean[0] - true))
            found.width_s[name].append(float(step.high[0] - step.low[0]))
            found.verdicts[name].append(effect.verdict)
        if parts:
            _hold_parts(found, fit, season)
        if held:
            check = held_out(fit)
            found.held_90.append(check.cover_90)
            found.held_95.append(check.cover_95)
            found.flagged.append(float(np.mean([c.flagged for c in run_checks(fit)])))
    return found


def _hold_parts(found: Study, fit, season) -> None:
    third = fit.runs.height // 3
    place = np.arange(fit.runs.height)
    change = first_and_last_third(fit)
    truth = season.truth.change_parts(place < third, place >= fit.runs.height - third, fit.response)
    for part in change.parts:
        true = truth.get(part.factor, 0.0)
        low, high = part.low_s - SMALL_PART_S, part.high_s + SMALL_PART_S
        found.part_covered[part.factor].append(bool(low <= true <= high))
        found.part_error_s[part.factor].append(part.seconds - true)
        found.part_width_s[part.factor].append(part.high_s - part.low_s)
    total = sum(part.seconds for part in change.parts) + change.unexplained_s
    found.sum_error_s.append(abs(change.total_s - total))


def lines(found: Study) -> list[str]:
    """Lay one study out as lines of a table; times in thousandths."""
    seasons = len(found.sum_error_s) or len(next(iter(found.verdicts.values())))
    out = [
        f"{found.policy}: {seasons} seasons, effects covered {found.share_covered():.3f}, "
        f"parts covered {found.share_parts_covered() if found.part_covered else float('nan'):.3f}, "
        f"worst sum error {max(found.sum_error_s, default=0.0):.1e} s, "
        f"nulls moved: tire {found.share_moved(['tire_pressure']):.3f}, "
        f"wing {found.share_moved(['wing_hole']):.3f}"
    ]
    for name, covered in found.covered.items():
        error, width = np.array(found.error_s[name]) * 1000, np.mean(found.width_s[name]) * 1000
        counts = {v: found.verdicts[name].count(v) / len(error) for v in ("moved", "inseparable", "no_sign")}
        out.append(
            f"    {name:14s} cover {np.mean(covered):.3f}  width {width:5.1f}"
            f"  rmse {np.sqrt(np.mean(error**2)):5.2f}  bias {error.mean():5.2f}  "
            + "  ".join(f"{verdict} {share:.2f}" for verdict, share in counts.items())
        )
    for name in found.part_covered:
        error = np.array(found.part_error_s[name]) * 1000
        out.append(
            f"    part of {name:14s} cover {np.mean(found.part_covered[name]):.3f}"
            f"  width {np.mean(found.part_width_s[name]) * 1e3:5.1f}  rmse {np.sqrt(np.mean(error**2)):5.2f}"
        )
    if found.held_90:
        out.append(
            f"    held-out events: 90 % interval holds {np.mean(found.held_90):.3f}, "
            f"95 % {np.mean(found.held_95):.3f}; runs flagged {np.mean(found.flagged):.4f}"
        )
    return out


def main(seasons: int, held: bool) -> None:
    """Print the table for every policy."""
    for policy in POLICIES:
        print("\n".join(lines(study(policy, range(seasons), held=held))), flush=True)  # noqa: T201


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200, held="held" in sys.argv)
