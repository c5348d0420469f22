"""What is truly so in the invented season, worked out from the noise-free simulation, and its README."""

from __future__ import annotations

import textwrap

import numpy as np

from sample_timeslips.launch_simulation import Conditions, Floats, Settings, changed, expected_times
from sample_timeslips.mess import RUINED
from sample_timeslips.season_plan import (
    EVENTS,
    GROWTH_PER_RUN_IN,
    LAUNCH_RPM_LIMITS,
    PAIR,
    SEED,
    Season,
    conditions_of,
    settings_of,
)
from sample_timeslips.sheets import Typed

STEPS = {
    "preload_turns": ("preload", 1.0, "1 turn"),
    "counterweight_g": ("counterweight", 1.0, "1 g"),
    "shock_clicks": ("rear shock", 1.0, "1 click"),
    "launch_rpm": ("launch rpm", 100.0, "100 rpm"),
    "tire_pressure_psi": ("tire pressure", 1.0, "1 psi"),
}
RESPONSES = {"t60_s": "60 ft", "t60_330_s": "60-330 ft"}
# A small part of a step: wide enough for the integration's own grain, narrow enough to be a slope.
DIFFERENCE = 0.25
# The middle of the runs, where the best launch rpm is told.
MIDDLE_TURNS, MIDDLE_DENSITY, MIDDLE_GROWTH_IN = 2.0, 1.136, 0.009
CAUTIONS = (
    "A clutch that fails at speed can kill. The hardware maker's limits, your sanctioning body's rules "
    "(approved containment, blankets, certified parts) and a qualified clutch technician outrank "
    "anything printed here.",
    "No suggestion passes the limits you wrote in garage.toml. Where you gave no limit, nothing is "
    "suggested for that adjustment.",
    "Work on the clutch only with the car safely supported, the engine off and the parts cool. "
    "Retorque by the maker's sheet.",
    "This is statistics about times. It says nothing about the strength of any part.",
)


def step_effects(settings: Settings, conditions: Conditions, response: str = "t60_s") -> dict[str, Floats]:
    """Slope of the expected time times the practical step, at each run's own setting [s per step]."""
    out = {}
    for name, (_, step, _) in STEPS.items():
        value, h = getattr(settings, name), DIFFERENCE * step
        more = expected_times(changed(settings, **{name: value + h}), conditions, response)
        less = expected_times(changed(settings, **{name: value - h}), conditions, response)
        out[name] = (more - less) / (2 * DIFFERENCE)
    return out


def best_launch_rpm(track_temp_degf: float) -> tuple[float, float]:
    """Launch rpm with the least expected 60 ft time at one track temperature, and that time [s]."""
    rpm = np.arange(5400.0, LAUNCH_RPM_LIMITS[1] + 1.0, 50.0)
    settings = Settings(*(np.asarray(v) for v in (MIDDLE_TURNS, PAIR[1][0], rpm, 10.0, PAIR[1][1])))
    conditions = Conditions(
        *(np.asarray(v) for v in (track_temp_degf, MIDDLE_DENSITY, MIDDLE_GROWTH_IN, 1.0))
    )
    times = expected_times(settings, conditions)
    return float(rpm[times.argmin()]), float(times.min())


def readme(season: Season, typed: list[Typed]) -> str:
    """Write the folder's README, every number computed here."""
    settings, conditions = settings_of(season.runs), conditions_of(season.runs)
    effects = {response: step_effects(settings, conditions, response) for response in RESPONSES}
    parts = (
        _opening(season),
        _effects_table(effects),
        _points(effects["t60_s"]),
        _rpm_table(),
        _noise(season),
        _mess(typed),
        "## Cautions",
        "\n".join(f"- {sentence}" for sentence in CAUTIONS),
    )
    return "\n\n".join(parts) + "\n"


def _opening(season: Season) -> str:
    return f"""\
# An invented season

Nothing here is real: the car (*Marigold*), the three strips, the events and every run were made up by
`make_season.py`. `logbook/` holds {len(season.runs)} runs over {len(EVENTS)} events as a tired person might
have typed them; what is planted in them is told below, so that anybody can see whether the tool finds it.

    python -m sample_timeslips.make_season              # makes logbook/ and this page again, byte for byte
    python -m sample_timeslips.make_season --out DIR    # the logbook only, somewhere else

The times come from `launch_simulation.py`, which integrates the car's motion: engine torque by air density,
a slipping clutch whose capacity is spring load plus a load that grows with engine speed squared, a tire whose
grip rises and falls with slip, smears as it slides and gives way as the track warms, weight that moves to the
rear late. It shares no formula with the statistical model. Seed: {SEED}.

| file | holds | how it is typed |
| --- | --- | --- |
| `slips spring.csv` | slips to the end of June | units in the headings, ISO dates, am/pm |
| `slips late season.csv` | slips from July on | own headings, month/day/year, nicknames of car and strip |
| `weather.csv` | weather, about every 100 minutes | units in the cells, day month-name year |
| `track temps.csv` | surface temperature, about every 50 minutes | month-name day, year |
| `clutch book.xlsx` | tabs *Setups* (changes only) and *Checks* | a workbook |
| `garage.toml` | car, clutch, strips, the rear shock as an extra adjustment, own headings | |"""


def _effects_table(effects: dict[str, dict[str, Floats]]) -> str:
    rows = []
    for name, (label, _, step) in STEPS.items():
        cells = [f"{1e3 * effects[r][name].mean() + 0.0:+.1f}" for r in RESPONSES]
        low, high = np.percentile(1e3 * effects["t60_s"][name], [10, 90])
        rows.append(f"| {label} | {step} | {cells[0]} | {low:+.1f} to {high:+.1f} | {cells[1]} |")
    return "\n".join(
        (
            "## What is planted",
            "",
            "True average effect over the runs as set, in thousandths of a second per step",
            "(minus = quicker), and its range over the middle 80 % of runs.",
            "",
            "| adjustment | step | 60 ft | 60 ft, range | 60-330 ft |",
            "| --- | --- | --- | --- | --- |",
            *rows,
        )
    )


def _points(t60: dict[str, Floats]) -> str:
    grams, clicks = t60["counterweight_g"].mean(), t60["shock_clicks"].mean()
    per_gram = (PAIR[1][1] - PAIR[0][1]) / (PAIR[1][0] - PAIR[0][0])
    together = 1e3 * (grams + per_gram * clicks)
    pairs = ", ".join(f"{g:g} g with {c:g} clicks" for g, c in PAIR)
    return (
        "- **Preload matters most**: it is the adjustment to rank first for the 60 ft time. What a stiffer\n"
        "  clutch wins by 60 ft it gives back by 330 ft, where the looser one has let the engine rev.\n"
        "- **Tire pressure does nothing**: the simulation does not know it.\n"
        "- **Counterweight and rear shock were never changed one without the other**:\n"
        f"  {pairs}. Together, 1 g more with {-per_gram:.2f} clicks less is worth {together:+.1f}\n"
        "  thousandths; no season like this one can say how much of it is whose.\n"
        "- **The best launch rpm moves lower as the track gets hotter**, as in this table:"
    )


def _rpm_table() -> str:
    temps = (70.0, 80.0, 90.0, 100.0, 110.0, 120.0)
    best = [best_launch_rpm(t) for t in temps]
    return "\n".join(
        (
            "| track, degF | " + " | ".join(f"{t:.0f}" for t in temps) + " |",
            "|" + " --- |" * (len(temps) + 1),
            "| best launch rpm | " + " | ".join(f"{rpm:.0f}" for rpm, _ in best) + " |",
            "| 60 ft there, s | " + " | ".join(f"{time:.3f}" for _, time in best) + " |",
            "",
            f"At the middle of the runs: {MIDDLE_TURNS:g} turns, {PAIR[1][0]:g} g, {PAIR[1][1]:g} clicks,",
            f"air of {MIDDLE_DENSITY} kg/m3, a clutch worn by {MIDDLE_GROWTH_IN} in. "
            f"{LAUNCH_RPM_LIMITS[1]:.0f} is the car's limit.",
        )
    )


def _noise(season: Season) -> str:
    sd = 1e3 * np.std(list(season.event_effect_s.values()))
    spun = sum(run.outcome == "spun" for run in season.runs)
    return (
        f"Whole nights are quicker or slower by an unseen part with sd {sd:.1f} thousandths; grip differs\n"
        "by 3 % from burnout to burnout; driver and clocks add 7 thousandths to the 60 ft time. The\n"
        f"clutch wears {GROWTH_PER_RUN_IN:.5f} in a run and was serviced on 5 July (shims out, ring\n"
        f"height back to new). {spun} runs spun because of what was set and how the track was;\n"
        "they are results, not mistakes."
    )


def _mess(typed: list[Typed]) -> str:
    ruined = ", ".join(f"{n + 1} ({outcome})" for n, (outcome, _) in RUINED.items())
    rows = [
        f"| {t.doubt.sheet.replace('_', ' ')} | {t.line} | {t.doubt.column} | {t.doubt.kind} | "
        f"`{t.typed}` | `{t.meant}` |"
        for t in typed
    ]
    return "\n".join(
        (
            "## What is wrong with it",
            "",
            "\n".join(textwrap.wrap(f"Ruined runs, counted from 1 through the season: {ruined}.", 108)),
            "One slip of the late sheet is written down twice. A few readings were not taken.",
            "",
            f"{len(rows)} entries are typed wrongly:",
            "",
            "| sheet | line | entry | what happened | typed | meant |",
            "| --- | --- | --- | --- | --- | --- |",
            *rows,
        )
    )
