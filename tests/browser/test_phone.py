"""The page for the hand in a real browser: its figures are Python's, its limits hold, it needs no network."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from pipeline.decide.comparing import compare
from pipeline.decide.dash import rpm_to_choose
from pipeline.decide.deciding import launch_fit, suggestion_from
from pipeline.decide.next_setting import present_state
from pipeline.decide.phone_model import phone_model
from pipeline.decide.results import Forecast
from pipeline.decide.safety import limits_now, settings_now, warnings_of
from pipeline.decide.untried import TOGETHER
from pipeline.season.expected_time import ExpectedTime
from pipeline.stages.shared import car_data, ingested
from pipeline.workspace import ForecastAsked, Workspace
from reports.phone import PhonePage, render
from tests.decide.small_season import LAST_DAY, garage, write_season

pytestmark = pytest.mark.browser

DEMO = Path(__file__).parents[2] / "sample_timeslips" / "logbook"
WIDE, PHONE = 1280, 390
STATES = 1000
MOST_BYTES = 600_000
AGREE_S = 1e-6
AGREE_CHANCE = 1e-9
TRACKS = (60, 85, 100, 115, 140)
OPENS_WITH = Forecast("Cinder Flats", 95.0, 84.0, 28.65, 37.0, None, None, ())


def demo(folder: Path) -> Workspace:
    ignored = shutil.ignore_patterns("reports", "*.duckdb*", "questions.csv")
    shutil.copytree(DEMO, folder / "logbook", ignore=ignored)
    return Workspace.of(folder / "logbook", store=None, out=None)


SEASONS: dict[str, Callable[[Path], Workspace]] = {
    "demo": demo,
    "strong": lambda folder: write_season(folder / "logbook", garage(engine_lb_ft=300)),
    "past a limit": lambda folder: write_season(folder / "logbook", garage(least_base_load='"760 lb"')),
    "no way inside": lambda folder: write_season(folder / "logbook", garage(least_base_load='"1200 lb"')),
    "no limits": lambda folder: write_season(
        folder / "logbook", garage(safe_turns=None, counterweight_limits=None)
    ),
}


def fresh(page: Page) -> None:
    """Wait until what was touched last is worked out."""
    page.locator("html[data-fresh=yes]").wait_for(state="attached")


@dataclass
class Season:
    data: Any
    fit: Any
    file: Path


@pytest.fixture(scope="module")
def seasons(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Season]:
    made = {}
    for name, make in SEASONS.items():
        folder = tmp_path_factory.mktemp("season")
        space = make(folder)
        with ingested(space) as (con, _):
            data = car_data(con, space, "Marigold", need_fit=False)
        fit = launch_fit(data)
        made[name] = Season(data, fit, folder / "phone.html")
        page = PhonePage(
            "Marigold",
            phone_model(data, fit),
            OPENS_WITH,
            store_version="1",
            generated_at="2025-10-05T09:10:00+00:00",
        )
        made[name].file.write_text(render(page), encoding="utf-8")
    return made


@pytest.fixture
def open_page(browser: Browser) -> Iterator[Callable[..., Page]]:
    contexts, said = [], []

    def open_one(file: Path, width: int = PHONE, **options: Any) -> Page:
        context = browser.new_context(viewport={"width": width, "height": 844}, offline=True, **options)
        contexts.append(context)
        page = context.new_page()
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.on(
            "request", lambda request: None if request.url.startswith("file:") else said.append(request.url)
        )
        page.goto(file.as_uri())
        fresh(page)
        return page

    yield open_one
    for context in contexts:
        context.close()
    assert said == []


@pytest.mark.parametrize("name", SEASONS)
def test_a_thousand_states_have_pythons_figures(
    open_page: Callable[..., Page], seasons: dict[str, Season], name: str
) -> None:
    season = seasons[name]
    expected = ExpectedTime.of(season.fit)
    factors = season.fit.spec.factors
    states = 2.0 * np.random.default_rng(21).normal(size=(STATES, len(factors)))
    found = open_page(season.file).evaluate(
        """(states) => {
            const lines = states.map(phone.line);
            return {
                lines: lines.map((line) => [line.seconds, line.spin, line.bog]),
                changes: lines.slice(1).map((line, i) => phone.difference(lines[i], line)),
            };
        }""",
        states.tolist(),
    )
    seconds, spin, bog = np.array(found["lines"]).T
    assert np.abs(seconds - expected.at(states).seconds).max() < AGREE_S
    assert np.abs(np.array([spin, bog]) - expected.chances(states)).max() < AGREE_CHANCE
    for at, change in enumerate(found["changes"]):
        python = expected.difference(states[at], states[at + 1])
        for key, value in (("mean", python.mean), ("low", python.low), ("high", python.high)):
            assert abs(change[key] - value[0]) < AGREE_S
        assert abs(change["chance"] - python.prob_negative[0]) < AGREE_CHANCE


@pytest.mark.parametrize("name", SEASONS)
def test_the_suggestion_is_pythons_at_every_track_temperature(
    open_page: Callable[..., Page], seasons: dict[str, Season], name: str
) -> None:
    season = seasons[name]
    page = open_page(season.file)
    for track in TRACKS:
        asked = ForecastAsked(track_temp=f"{track} F", air_temp="80 F", pressure="28.5 inHg", humidity="40%")
        for quick in (False, True):
            python = suggestion_from(season.data, season.fit, asked, quick_only=quick)
            conditions = {"track": track, "quick": quick}
            found = page.evaluate(
                """({track, quick}) => {
                    const data = JSON.parse(document.getElementById("phone-model").textContent);
                    const at = [[data.track.of, track], [data.air.of, phone.density(80, 28.5, 40)]];
                    const found = phone.suggest(at.filter(([i]) => i !== null), quick);
                    return {
                        stay: found.stay.seconds + data.centre_s,
                        settings: found.change && found.change.settings,
                        expected: found.change && found.change.line.seconds + data.centre_s,
                        moved: found.moved, gain: found.gain, stopped: found.stoppedBy.length,
                        density: phone.density(80, 28.5, 40), missing: found.mode.no_suggestion_for,
                    };
                }""",
                conditions,
            )
            assert found["density"] == pytest.approx(python.forecast.air_density_kg_per_m3, abs=1e-9)
            assert found["stay"] == pytest.approx(python.stay.expected_s, abs=AGREE_S), conditions
            change = python.change_to
            assert found["settings"] == (None if change is None else pytest.approx(change.settings)), (
                conditions
            )
            if change is not None:
                assert found["expected"] == pytest.approx(change.expected_s, abs=AGREE_S)
            if found["moved"]:
                assert found["gain"]["mean"] == pytest.approx(python.gain_s, abs=AGREE_S)
                assert found["gain"]["chance"] == pytest.approx(python.p_better, abs=AGREE_CHANCE)
            assert tuple(found["missing"]) == python.no_suggestion_for


@pytest.mark.parametrize("name", SEASONS)
def test_the_sentence_is_that_of_the_terminal(
    open_page: Callable[..., Page], seasons: dict[str, Season], name: str
) -> None:
    season = seasons[name]
    page = open_page(season.file)
    for track in TRACKS[1:4]:
        page.get_by_label("track temperature", exact=False).first.fill(str(track))
        fresh(page)
        asked = ForecastAsked(track_temp=f"{track} F", air_temp="84 F", pressure="28.65 inHg", humidity="37%")
        python = suggestion_from(season.data, season.fit, asked, quick_only=False)
        told = python.sentence.split(" There about ")[0].removeprefix("Stay: ").replace("degF", "°F")
        assert page.locator("#said").inner_text().casefold() == told.casefold()
        notes = page.locator("#notes").inner_text()
        assert python.torque_capacity.replace(",", "") in notes.replace(",", "")
        assert python.untried in " ".join(notes.splitlines())
        assert ("than any run has had" in notes) == ("than any run has had" in python.untried)
        assert (TOGETHER in notes) == (python.untried == TOGETHER)
        for limit in python.limited_by:
            assert limit.replace("degF", "°F") in notes
        for sentence in python.no_suggestion_for:
            assert sentence in notes


def test_what_no_run_has_had_is_said(open_page: Callable[..., Page], seasons: dict[str, Season]) -> None:
    said = []
    for name in ("demo", "strong"):
        page = open_page(seasons[name].file)
        for track in TRACKS:
            page.get_by_label("track temperature", exact=False).first.fill(str(track))
            fresh(page)
            said.append(page.locator("#notes").inner_text())
    assert any("than any run has had" in notes or TOGETHER in notes for notes in said)
    assert not all("than any run has had" in notes or TOGETHER in notes for notes in said)


def test_the_best_rpm_is_pythons(open_page: Callable[..., Page], seasons: dict[str, Season]) -> None:
    season = seasons["demo"]
    choices = rpm_to_choose(season.fit, limits_now(season.data))
    assert choices is not None
    spec, page = season.fit.spec, open_page(season.file)
    state = present_state(season.fit, settings_now(season.data), None, season.data.worn_now_in)
    best = []
    for track in (70, 115):
        states = np.tile(state, (choices.steps.size, 1))
        states[:, spec.index("launch_rpm")] = choices.steps
        i, factor = spec.index("track_temp"), spec.factor("track_temp")
        states[:, i] = (track - factor.reference) / factor.step
        rpm, steps = (
            spec.factor("launch_rpm"),
            choices.steps[ExpectedTime.of(season.fit).at(states).seconds.argmin()],
        )
        best.append(rpm.reference + rpm.step * steps)
        found = page.evaluate(f"phone.bestRpm([[{i}, {track}]]).rpm")
        assert found == pytest.approx(best[-1])
    assert best[0] != best[1]


def test_what_if_says_what_compare_says(open_page: Callable[..., Page], seasons: dict[str, Season]) -> None:
    season = seasons["strong"]
    page = open_page(season.file)
    page.get_by_label("preload of A").fill("4,5")
    page.get_by_label("launch rpm of A").fill("5800")
    page.get_by_label("preload of B").fill("0.5")
    fresh(page)
    asked = ForecastAsked(track_temp="95 F", air_temp="84 F", pressure="28.65 inHg", humidity="37%")
    python = compare(season.data, asked, ("preload 4.5, rpm 5800", "preload 0.5"))
    compared = page.locator("#compared").inner_text()
    assert compared.startswith(python.sentence.split(" B is not advised")[0])
    assert "B is not advised" in compared
    against = page.locator("#against").inner_text()
    assert python.a.against == ()
    assert len(python.b.against) == page.locator("#against li").count()
    for said in python.b.against:
        assert said in against


@pytest.mark.parametrize(
    ("label", "typed", "said"),
    [
        ("preload of A", "6.5", "nothing past a limit is compared. Give at most 6 turns."),
        ("launch rpm of B", "many", "Launch rpm of B is no number"),
    ],
)
def test_a_setting_past_a_limit_or_unreadable_is_refused(
    open_page: Callable[..., Page], seasons: dict[str, Season], label: str, typed: str, said: str
) -> None:
    page = open_page(seasons["strong"].file)
    page.get_by_label(label).fill(typed)
    fresh(page)
    assert said in page.locator("#compared").inner_text()
    assert page.get_by_label(label).get_attribute("aria-invalid") == "true"
    side = label[-1].lower()
    assert page.locator(f"#{side}-expected").inner_text() == "–"


def test_conditions_take_celsius_and_refuse_nonsense(
    open_page: Callable[..., Page], seasons: dict[str, Season]
) -> None:
    page = open_page(seasons["demo"].file)
    track = page.locator("#track")
    times = []
    for typed in ("113", "45C", "45 °C"):
        track.fill(typed)
        fresh(page)
        times.append(page.locator("#stay .big").inner_text())
    assert len(set(times)) == 1
    track.fill("950")
    fresh(page)
    assert "Track temperature 950 is no number from 25 to 190 °F" in page.locator("#track-wrong").inner_text()
    assert page.locator("#choice").is_hidden()
    track.fill("140")
    fresh(page)
    assert "hotter than at any run" in page.locator("#hotter").inner_text()
    assert "Nothing is known of a track of 140 °F" in page.locator("#said").inner_text()


def test_with_the_present_setting_in_question_it_works_out_nothing(
    open_page: Callable[..., Page], tmp_path: Path
) -> None:
    space = write_season(tmp_path / "logbook", garage(), setups=f"{LAST_DAY},20:00,Marigold,45,7,6000")
    with ingested(space) as (con, _):
        data = car_data(con, space, "Marigold", need_fit=False)
    made = phone_model(data, launch_fit(data))
    file = tmp_path / "phone.html"
    file.write_text(
        render(
            PhonePage(
                "Marigold",
                made,
                OPENS_WITH,
                warnings=warnings_of(data),
                store_version="1",
                generated_at="2025-10-05",
            )
        ),
        encoding="utf-8",
    )
    page = open_page(file)
    assert "45" in page.locator(".warnings").first.inner_text()
    assert "in question" in page.locator("#said").inner_text()
    assert page.locator("#choice, #what-if, #conditions").filter(visible=True).count() == 0


def test_it_works_by_keyboard_and_the_slider(
    open_page: Callable[..., Page], seasons: dict[str, Season]
) -> None:
    page = open_page(seasons["demo"].file)
    page.locator("#track-slide").focus()
    before = page.locator("#stay .big").inner_text()
    for _ in range(15):
        page.keyboard.press("ArrowRight")
    fresh(page)
    assert page.locator("#track").input_value() == "110"
    assert page.locator("#stay .big").inner_text() != before
    page.locator("#quick").focus()
    page.keyboard.press("Space")
    fresh(page)
    assert "Only what can be changed between rounds" in page.locator("#notes").inner_text()


@pytest.mark.parametrize(("width", "scheme"), [(WIDE, "light"), (PHONE, "dark")])
@pytest.mark.parametrize("name", ["demo", "past a limit"])
def test_it_is_small_fits_and_axe_finds_nothing_serious(
    open_page: Callable[..., Page],
    seasons: dict[str, Season],
    axe_script: str,
    name: str,
    width: int,
    scheme: Any,
) -> None:
    assert seasons[name].file.stat().st_size < MOST_BYTES
    page = open_page(seasons[name].file, width, color_scheme=scheme, bypass_csp=True)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.add_script_tag(content=axe_script)
    found = page.evaluate("axe.run(document, {resultTypes: ['violations']})")
    bad = [one for one in found["violations"] if one["impact"] in {"serious", "critical"}]
    assert bad == [], json.dumps(bad, indent=1)[:3000]


def test_on_paper_it_keeps_answer_settings_and_cautions(
    open_page: Callable[..., Page], seasons: dict[str, Season]
) -> None:
    page = open_page(seasons["demo"].file, WIDE)
    page.emulate_media(media="print")
    for place in ("#said", "#stay .settings", "#track", ".cautions"):
        assert page.locator(place).is_visible()
    assert page.locator("#track-slide").is_hidden()
