"""What each world is made from."""

from __future__ import annotations

from dataclasses import dataclass, field

from tests.simulation.worlds.season import Blanks, Noise

WANDERING = ("free", "weather", "explore")
ANY = ("free", "weather", "chase", "unseen", "through_night", "explore", "timid")


@dataclass(frozen=True, slots=True)
class Spec:
    """How a world differs from a usual one.

    Attributes
    ----------
    form
        "second" or "ridge" (synthetic), "any" (one of the two by chance) or "launch" (motion).
    racers
        One is drawn for each season.
    nothing
        No adjustment does anything.
    drift_s
        Mean and sd over events of the change of the track through a night.
    level_s, slick_level_s
        Sd of an event's level of its own, and what one sd of the unseen track adds to it.
    wind_s
        What 10 mph of headwind add to t330.
    cliff
        A synthetic cliff is put on the form.
    freshened_s
        What an engine gains when it is freshened in mid-season, which also shifts its best launch rpm.
    gun_degf
        By how much the track is read too hot or too cool at one strip.
    misnoted
        Chance that a run's preload is written down wrong by half a turn or one.
    evenings
        All events are in the evening; track and air fall together.
    """

    about: str
    form: str = "any"
    racers: tuple[str, ...] = WANDERING
    events: tuple[int, int] = (8, 15)
    runs: tuple[int, int] = (6, 14)
    total: int = 0
    nothing: bool = False
    drift_s: tuple[float, float] = (0.0, 0.0)
    days: int = 1
    noise: Noise = field(default_factory=Noise)
    blanks: Blanks = field(default_factory=Blanks)
    level_s: float = 0.0048
    slick_level_s: float = 0.0036
    better_s: float = 0.0
    new_disc: bool = False
    wear_s: tuple[float, float] = (0.0, 0.0)
    heat_s: tuple[float, float] = (0.0, 0.0)
    tires_s: tuple[float, float] = (0.0, 0.0)
    lane_s: tuple[float, float] = (0.0, 0.0)
    bedding_s: tuple[float, float] = (0.0, 0.0)
    wind_s: tuple[float, float] = (0.0, 0.0)
    driver_s: tuple[float, float] = (0.0, 0.0)
    cliff: bool = False
    wing: float = 0.6
    freshened_s: tuple[float, float] = (0.0, 0.0)
    gun_degf: float = 0.0
    misnoted: float = 0.0
    evenings: bool = False


_NIGHT = (-0.012, 0.006)
_LAUNCH = Noise(run_s=0.0078, section_s=0.008)


def _launch(about: str, *racers: str, noted: float | None = None) -> Spec:
    blanks = Blanks(noted=-1.0 if noted is None else noted)
    return Spec(about, form="launch", racers=racers, noise=_LAUNCH, blanks=blanks, level_s=0.0045)


SPECS: dict[str, Spec] = {
    "own_form": Spec(
        "Smooth second-order effects of shrunk sizes; the racer wanders freely.", "second", ("free",)
    ),
    "night_drift": Spec(
        "The track gets about 12 ms quicker through each night, more on some than on others.",
        racers=("free", "explore"),
        drift_s=_NIGHT,
    ),
    "night_drift_reacts": Spec(
        "The same drift, and the racer adds preload as the night goes on.",
        racers=("through_night",),
        drift_s=_NIGHT,
    ),
    "night_drift_ar": Spec(
        "The same drift, and what is left of neighbouring runs of an event is correlated .7.",
        racers=("free", "through_night"),
        drift_s=_NIGHT,
        noise=Noise(follows=0.7),
    ),
    "ar_only": Spec("No drift; neighbouring runs of an event are correlated .7.", noise=Noise(follows=0.7)),
    "missing_air": Spec(
        "Air density matters and is unknown at half of the events.", blanks=Blanks(air_events=0.5)
    ),
    "missing_track": Spec(
        "Track temperature is unknown for a third of the runs.", blanks=Blanks(track_runs=1 / 3)
    ),
    "nonlinear_wear": Spec(
        "The disc's wear does nothing at first and then costs more and more.", wear_s=(0.01, 0.03)
    ),
    "new_disc": Spec("A service changes the level and the effect of preload.", new_disc=True),
    "few_events": Spec("Four events only.", events=(4, 4)),
    "one_event": Spec("One event of sixteen runs.", events=(1, 1), runs=(16, 16)),
    "heavy_tails": Spec(
        "Noise of Student's t with 3 degrees, and one run in 25 ruined without a word.",
        noise=Noise(degrees=3, ruined=0.04),
    ),
    "hidden_improvement": Spec(
        "The team gets 25 ms quicker over the season for no written reason.", better_s=0.025
    ),
    "big": Spec("Five hundred runs.", racers=("free", "weather", "explore"), events=(42, 46), total=500),
    "locked_pair": Spec(
        "Two adjustments are never moved apart, and one of them does nothing.", racers=("locked",), wing=1.0
    ),
    "launch_explorer": _launch("Motion with a cliff and a bog; the racer explores on purpose.", "explore"),
    "launch_climber": _launch("Motion; the racer chases the last slip.", "chase"),
    "launch_timid": _launch("Motion; the racer hardly changes anything.", "timid"),
    "launch_locked": _launch("Motion; two adjustments are never moved apart.", "locked"),
    "launch_reactor": _launch(
        "Motion; the racer answers the weather and the unseen track.", "unseen", "weather"
    ),
    "launch_notes": _launch("Motion; any racer, every spin and bog is noted.", *ANY, noted=1.0),
    "cliff": Spec(
        "Past a launch rpm that falls with track and load the tires may let go; never noted.",
        racers=("free", "weather", "explore", "chase"),
        cliff=True,
    ),
    "tire_age": Spec("Times go off with the runs on the tires.", tires_s=(0.012, 0.03)),
    "heat": Spec("Runs made soon after the last are slower: heat in the clutch.", heat_s=(0.01, 0.03)),
    "lane_by_strip": Spec("One lane at one strip is slower.", lane_s=(0.012, 0.025)),
    "bedding": Spec("The first runs after a service are slower.", bedding_s=(0.012, 0.03)),
    "headwind": Spec("A headwind costs time past 60 ft.", wind_s=(0.003, 0.009)),
    "two_drivers": Spec("One of two drivers is slower.", driver_s=(0.01, 0.025), blanks=Blanks(drivers=True)),
    "written_down": Spec(
        "Two drivers and much else is written down that does nothing.",
        "second",
        ("free",),
        blanks=Blanks(drivers=True),
    ),
    "null_season": Spec("No adjustment does anything; track and air do.", racers=ANY, nothing=True),
    "two_days": Spec(
        "Drift as in night_drift over events of two days: the track starts afresh on the second.",
        runs=(10, 16),
        drift_s=_NIGHT,
        days=2,
    ),
    "unseen_track": Spec(
        "The racer answers a state of the track that no gun shows and that moves the times by 9 ms.",
        racers=("unseen",),
        slick_level_s=0.009,
    ),
    "gun_off": Spec("At one strip the track is read 6 degF off.", gun_degf=6.0),
    "freshened": Spec(
        "The engine is freshened in mid-season, which nobody writes down: quicker, another best rpm.",
        freshened_s=(0.008, 0.02),
    ),
    "answers_slip": Spec(
        "The racer answers each slip with the rpm of the next run, and luck follows from run to run.",
        racers=("answers",),
        noise=Noise(follows=0.7),
    ),
    "evenings": Spec(
        "Evenings only, in which track temperature falls as air density rises; the track gets quicker too.",
        drift_s=_NIGHT,
        evenings=True,
    ),
    "misnoted": Spec("Preload is noted wrong, by half a turn or one, on one run in 25.", misnoted=0.04),
    "timid": Spec("Synthetic effects; the racer hardly changes anything.", racers=("timid",)),
    "chase": Spec("Synthetic effects; the racer chases the last slip.", racers=("chase",)),
}
