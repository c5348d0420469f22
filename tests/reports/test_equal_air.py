import pytest

from reports import equal_air
from reports.frames import with_run_words
from tests.reports import example_results as ex

FIT = ex.example_fit()


def test_the_last_event_is_told_in_the_air_of_every_other_event() -> None:
    table = equal_air.in_other_air_table(FIT)
    assert table is not None
    last = max(FIT.air_times, key=lambda one: one.date)
    assert last.event in table.caption
    assert len(table.rows) == len({one.event for one in FIT.air_times}) - 1
    first = min(FIT.air_times, key=lambda one: one.date)
    mine = next(one for one in FIT.air_times if one.event == last.event and one.split == "t1320")
    slope = next(one.own_s for one in FIT.air_effects if one.split == "t1320")
    assert float(table.rows[0][-1]) == pytest.approx(mine.own_s + slope * first.air_pct, abs=0.0006)


def test_each_event_has_all_its_splits_side_by_side() -> None:
    table = equal_air.equal_air_figure(FIT.air_times).table
    assert table is not None
    assert table.headings[-3:] == ("1/4 mile as run", "1/4 mile own", "1/4 mile published")
    assert all(len(row) == len(table.headings) for row in table.rows)


def test_an_eighth_mile_event_leaves_the_quarter_open() -> None:
    first = FIT.air_times[0].event
    short = [one for one in FIT.air_times if not (one.event == first and one.split == "t1320")]
    table = equal_air.equal_air_figure(short).table
    assert table is not None
    row = next(row for row in table.rows if first in row[0])
    assert row[-3:] == ("–", "–", "–")


def test_it_is_said_how_much_is_in_no_entry_and_what_leads_among_the_rest() -> None:
    said = equal_air.steadiness_sentence(FIT.spread_causes)
    assert "34 % of what makes the 60 ft differ is in no entry" in said
    assert "what you set, 60 %" in said


def test_sections_are_in_the_order_of_the_strip() -> None:
    table = equal_air.sections_table(with_run_words(ex.example_runs()))
    assert table is not None
    assert table.headings == ("event", "runs", "0-60", "60-330", "330-660", "660-1000", "1000-1320")


def test_nothing_known_leaves_no_table_and_a_sentence_for_each_figure() -> None:
    empty = ex.empty_fit()
    assert equal_air.effects_table(empty) is None
    assert equal_air.in_other_air_table(empty) is None
    assert equal_air.spreads_table(empty) is None
    assert equal_air.dial_in_table(empty) is None
    assert equal_air.steadiness_sentence(()) == ""
    assert equal_air.sections_table(with_run_words(ex.example_runs(0, ()))) is None
    assert all(one.chart is None and one.empty for one in equal_air.figures(empty))
