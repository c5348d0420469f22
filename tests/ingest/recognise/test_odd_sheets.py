"""Layouts a person reads at sight: clocks in parts, cards side by side, keys at the foot, a tab a meeting."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'


def workbook(root: Path, tabs: dict[str, list[str]]) -> object:
    """Read sheets whose rows are lines of cells parted by ``|``."""
    sheets = {f"{name}.csv": "\n".join(lines).replace("|", ";") + "\n" for name, lines in tabs.items()}
    return ingested(write(root, {"garage.toml": GARAGE, **sheets}))[0]


def moments(con: object) -> list[str]:
    return [f"{at:%Y-%m-%d %H:%M}" for at in column(con, "timeslips", "run_at")]


def test_hour_and_minute_in_columns_of_their_own(tmp_path: Path) -> None:
    rows = [f"{9 + n}|{7 * n}|L|0.0{n + 1}|1.45{n}|3.98{n}|6.14{n}" for n in range(6)]
    con = workbook(tmp_path, {"May": ["16 May 2031", "hour|min|lane|RT|60 ft|330 ft|1/8", *rows]})
    assert moments(con)[:2] == ["2031-05-16 09:00", "2031-05-16 10:07"]


@pytest.mark.parametrize("clock", ["{hour}.{minute} u", "{hour:0>2}{minute}L", "kl. {hour}.{minute}"])
def test_a_word_beside_every_time_of_day(clock: str, tmp_path: Path) -> None:
    times = [clock.format(hour=9 + n, minute=11 + 7 * n) for n in range(6)]
    rows = [f"{time}|{'LR'[n % 2]}|1.45{n}|3.98{n}|6.14{n}" for n, time in enumerate(times)]
    con = workbook(tmp_path, {"May": ["16 May 2031", "Vertrek|Baan|60 ft|330 ft|1/8", *rows]})
    assert moments(con)[1] == "2031-05-16 10:18"
    assert column(con, "timeslips", "lane")[0] == "left"


def test_cards_side_by_side(tmp_path: Path) -> None:
    labels = [
        "Lane|left",
        "React|0.0{n}1",
        "60 ft|1.4{n}1",
        "330 ft|3.9{n}0",
        "201 m|6.1{n}0",
        "at km/h|178.{n}",
    ]
    labels += ["Air C|1{n}", "Turns|2.25"]
    lines = ["16 May 2031||||Quarry Road Dragway|", "|||||||"]
    for first in (1, 4, 7):
        lines.append("||".join(f"No. {n}|at {n + 9}:1{n}" for n in range(first, first + 3)))
        lines += ["||".join(label.format(n=n) for n in range(first, first + 3)) for label in labels] + [
            "|||||"
        ]
    con = workbook(tmp_path, {"Cards": lines})
    assert len(column(con, "timeslips", "t60_s")) == 9
    assert column(con, "timeslips", "t60_s", "t660_s")[4] == (1.451, 6.15)
    assert moments(con)[4] == "2031-05-16 14:15"


def test_words_cut_short_in_the_language_of_the_sheet(tmp_path: Path) -> None:
    head = "godzina|tor L/P|reakcja|60 st.|330 st.|1/8 mili|km/h"
    air = "pow. °C|15|naw. °C|25|ciśn. hPa|1001|wilg. %|70"
    rows = [f"1{n}:12|L|0.0{n + 1}|1.45{n}|3.98{n}|6.14{n}|180" for n in range(5)]
    setting = "obroty|6600|napięcie obr.|2.5|przeciwciężar g|5.6"
    con = workbook(tmp_path, {"Maj": ["16.05.2031", air, setting, head, *rows]})
    assert column(con, "timeslips", "t60_s") == [1.45, 1.451, 1.452, 1.453, 1.454]
    assert column(con, "weather", "humidity_pct", "air_temp_degf") == [(70, pytest.approx(59.0))]
    assert column(con, "track", "track_temp_degf") == [pytest.approx(77.0)]
    assert column(con, "setups", "launch_rpm", "preload_turns", "counterweight_g") == [(6600, 2.5, 5.6)]


def test_a_key_at_the_foot_of_the_runs(tmp_path: Path) -> None:
    rows = [
        f"5/{16 + n}|10:1{n}|{'AB'[n % 2]}|*{1 + n // 3}|0.1|1.45{n}|3.98{n}|6.14{n}|{'OS'[n % 2]}"
        for n in range(6)
    ]
    key = [
        "Key", "T1 = 60 ft, T2 = 330 ft, T3 = 1/8 mile, RT = reaction", "Out: O = clean, S = spun",
        "Cl (clutch): rpm / turns / weight g", "A|= 5000 rpm / 6 turns / 1.4 g",
        "B|= 4800 rpm / 6.5 turns / 1.6 g",
        "W (weather)", "*1|air 20 C, track 24 C, humidity 70%", "*2|air 22 C, track 30 C, humidity 62%",
    ]  # fmt: skip
    con = workbook(tmp_path, {"2031": ["Date|Time|Cl|W|RT|T1|T2|T3|Out", *rows, "", *key]})
    assert column(con, "timeslips", "t60_s", "t660_s", "outcome")[1] == (1.451, 6.141, "spun")
    settings = "launch_rpm", "preload_turns", "counterweight_g"
    assert column(con, "timeslips", *settings)[:2] == [(5000, 6, 1.4), (4800, 6.5, 1.6)]
    assert column(con, "weather", "air_temp_degf")[-1] == pytest.approx(71.6)
    assert moments(con)[0] == "2031-05-16 10:10"


def test_tabs_under_the_same_headings_are_read_alike(tmp_path: Path) -> None:
    head = "Run|Time|Lane|React|60ft|1/8|ET|RPM|P/load|C/wt"
    tabs = {}
    for month, turns in (
        ("April", (2.5, 2.75, 3, 3.25, 3.5)),
        ("May", (3, 3, 3, 3, 3)),
        ("June", (4, 4, 4, 4, 4)),
    ):
        rows = [
            f"{n + 1}|1{n}:24|L|0.1{n}|1.49{n}|6.34{n}|9.99{n}|7100|{turn}|4.5"
            for n, turn in enumerate(turns)
        ]
        tabs[month] = [f"18 {month} 2031", head, *rows]
    con = workbook(tmp_path, tabs)
    assert set(column(con, "timeslips", "preload_turns")[5:]) == {3, 4}


def test_a_language_tells_which_is_the_day(tmp_path: Path) -> None:
    rows = [f"5/9/2031|1{n}:24|L|0.1{n}|1.49{n}|6.34{n}" for n in range(4)]
    con = workbook(tmp_path, {"Runs": ["Datum|Uhrzeit|Bahn|Reaktion|60 Fuß|Achtelmeile", *rows]})
    assert moments(con)[0] == "2031-09-05 10:24"


def test_what_was_changed_has_a_column_of_its_own(tmp_path: Path) -> None:
    changes = ("", "à 4 tours", "", "à 2,3 g", "à 5900 tr", "")
    rows = [f"16/05/2031|1{n}h12|G|0,04{n}|1,45{n}|3,98{n}|6,14{n}|{text}" for n, text in enumerate(changes)]
    con = workbook(tmp_path, {"mai": ["jour|heure|coul.|réact.|60 pi|330 pi|1/8|chang.", *rows]})
    settings = column(con, "setups", "launch_rpm", "preload_turns", "counterweight_g")
    assert [max(filter(None, own)) for own in zip(*settings, strict=True)] == [5900, 4, 2.3]


def test_a_day_of_the_week_in_brackets_and_hours_parted_by_their_letter(tmp_path: Path) -> None:
    rows = [f"2031/5/17(土)|1{n}u20|1.45{n}|3.98{n}|6.14{n}" for n in range(5)]
    con = workbook(tmp_path, {"log": ["day|start|60 ft|330 ft|1/8", *rows]})
    assert moments(con)[2] == "2031-05-17 12:20"


def test_a_strip_is_named_in_the_remarks(tmp_path: Path) -> None:
    rows = [
        f"2031-05-17|1{n}:20|1.45{n}|3.98{n}|6.14{n}|Cinder Flats Dragway, left lane; fine" for n in range(5)
    ]
    two = GARAGE + '\n[[venue]]\nname = "Cinder Flats Dragway"\nelevation_ft = 900\n'
    text = "\n".join(["date|time|60 ft|330 ft|1/8|what", *rows]).replace("|", ";")
    con = ingested(write(tmp_path, {"garage.toml": two, "log.csv": text + "\n"}))[0]
    assert set(column(con, "timeslips", "venue")) == {"Cinder Flats Dragway"}


def test_a_journal_of_one_figure_a_line_by_accounts(tmp_path: Path) -> None:
    plan = [
        "Account;Name;Unit",
        "100;reaction;s",
        "111;60 ft;s",
        "112;330 ft;s",
        "113;1/8 mile;s",
        "123;speed 1/8;mph",
    ]
    lines = ["No.;Date;Time;Voucher;Account;Amount"]
    for n in range(4):
        for at, (account, amount) in enumerate(
            (
                ("100", f"0.0{n}5"),
                ("111", f"1.45{n}"),
                ("112", f"3.98{n}"),
                ("113", f"6.14{n}"),
                ("123", "112.4"),
            )
        ):
            first = f"2031-05-17;1{n}:20;R{n + 1}" if at == 0 else ";;"
            lines.append(f"{5 * n + at + 1};{first};{account};{amount}")
    con = workbook(tmp_path, {"plan": plan, "journal": lines})
    assert column(con, "timeslips", "t60_s", "t660_s", "v660_mph")[2] == (1.452, 6.142, 112.4)
    assert moments(con)[3] == "2031-05-17 13:20"


def test_a_day_beside_the_morning_weather_above_the_headings(tmp_path: Path) -> None:
    rows = [f"{n + 1}|1{n}:20|L|1.45{n}|3.98{n}|6.14{n}" for n in range(4)]
    air = "16.05.2031|Wetter morgens:|Luft 17 °C|1004 hPa (am Platz)|45 % Feuchte"
    con = workbook(
        tmp_path, {"Lauf": ["Quarry Road Dragway", air, "Lauf|Uhrzeit|Spur|60 ft|330 ft|1/8 M", *rows]}
    )
    assert moments(con)[1] == "2031-05-16 11:20"
    assert column(con, "weather", "humidity_pct") == [45]


def test_a_card_whose_first_line_has_no_words(tmp_path: Path) -> None:
    lines = []
    for n in range(4):
        lines += [
            f"No.{n + 1}|2031-05-16|{9 + n}:36|Round 1|right lane|",
            f"react|0.09{n}|60ft|1.44{n}|200m|6.16{n}",
        ]
        lines += [f"revs|6900|turns|2.{n}5|weights g|4.5", "result|clean||||", "|||||"]
    con = workbook(tmp_path, {"cards": lines})
    assert column(con, "timeslips", "t60_s", "t660_s", "lane")[2] == (1.442, 6.162, "right")
    assert moments(con)[3] == "2031-05-16 12:36"


def test_recipes_times_and_weather_each_in_a_cell_explained_in_the_title(tmp_path: Path) -> None:
    title = "Book. Recipe = rpm - preload (turns) - weight (g). Wx = air °C / hPa / hum % / track °C."
    rows = [
        f"16.5.2031 kl. 1{n}.41|L|{recipe}|0,095|1,58{n}|6,66{n} / 169|10,58{n} / 214|23 / 966 / 58 / 26"
        for n, recipe in enumerate(("6000 - 2 - 4,2", "'", "6100 - 2,25 - 4,4", "'"))
    ]
    text = "\n".join([title, "Dag og kl|Lane|Recipe|RT|60 ft|1/8 tid / km/t|1/4 tid / km/t|Wx", *rows])
    con = ingested(
        write(tmp_path, {"garage.toml": GARAGE, "log.csv": text.replace("|", ";").replace("'", "〃") + "\n"})
    )[0]
    settings = column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g")
    assert settings[1:3] == [(6000, 2, 4.2), (6100, 2.25, 4.4)]
    assert column(con, "timeslips", "t660_s", "t1320_s")[3] == (6.663, 10.583)
    assert column(con, "timeslips", "v660_mph")[0] == pytest.approx(169 / 1.609344)
    assert moments(con)[2] == "2031-05-16 12:41"


def test_a_date_in_roman_months_and_in_years_of_an_era(tmp_path: Path) -> None:
    for which, dates in enumerate((("2031. IV. 6.", "2031. IV. 7."), ("R13.4.6", "R13.4.7"))):
        rows = [f"{date}|10:1{n}|1.45{n}|3.98{n}|6.14{n}" for n, date in enumerate(dates)]
        con = workbook(tmp_path / f"{which}", {"log": ["date|time|60 ft|330 ft|1/8", *rows]})
        assert moments(con) == ["2031-04-06 10:10", "2031-04-07 10:11"]


def test_a_second_day_of_a_meeting_settles_day_and_month(tmp_path: Path) -> None:
    rows = [f"0{5 + n}/04/31|10:1{n}|1.45{n}|3.98{n}|6.14{n}" for n in range(2)]
    con = workbook(tmp_path, {"log": ["date|time|60 ft|330 ft|1/8", *rows]})
    assert moments(con) == ["2031-04-05 10:10", "2031-04-06 10:11"]


def test_the_line_of_the_strip_above_the_headings_says_more_of_it(tmp_path: Path) -> None:
    rows = [f"{n + 1}|16-05-2031|09h{n}5|1,45{n}|3,98{n}|6,14{n}|24|31|893|65" for n in range(3)]
    heads = "Lopie|Dag|Tyd|60vt|330vt|660vt|Lug C|Baan C|hPa|Vog %"
    top = ["Byeenkoms|Opening", "Baan|Quarry Road Dragway|91 m bo seevlak", "Motor|Marigold"]
    con = workbook(tmp_path, {"log": [*top, "", heads, *rows]})
    assert column(con, "timeslips", "venue", "t60_s")[1] == ("Quarry Road Dragway", 1.451)


def test_setups_by_letter_on_a_tab_of_their_own(tmp_path: Path) -> None:
    setups = ["Merki|rpm|turns|g", "A|5800|3.25|2.7", "B|5700|3.25|2.7", "C|5700|3|2.7"]
    rows = [f"2031-05-16|1{n}:09|1.45{n}|3.98{n}|6.14{n}|{'ABCA'[n]}" for n in range(4)]
    con = workbook(tmp_path, {"runs": ["date|time|60 ft|330 ft|1/8|Clutch", *rows], "Clutch": setups})
    assert column(con, "timeslips", "launch_rpm", "preload_turns")[2:] == [(5700, 3), (5800, 3.25)]


def test_short_names_of_strips_told_below_another_table(tmp_path: Path) -> None:
    garage = GARAGE + '\n[[venue]]\nname = "Tansy Valley"\nelevation_ft = 900\n'
    key = (
        "Setup;rpm;turns;g\nA;5800;3.25;2.7\nB;5700;3;2.7\n;;;\nQR;Quarry Road Dragway;;\nTV;Tansy Valley;;\n"
    )
    rows = "".join(
        f"{'QT'[n // 2]}{'RV'[n // 2]};2031-05-1{n};1{n}:09;1.45{n};3.98{n};6.14{n};{'AB'[n % 2]}\n"
        for n in range(4)
    )
    runs = "Stn;date;time;60 ft;330 ft;1/8;Setup\n" + rows
    con = ingested(write(tmp_path, {"garage.toml": garage, "runs.csv": runs, "key.csv": key}))[0]
    assert column(con, "timeslips", "venue")[1:3] == ["Quarry Road Dragway", "Tansy Valley"]


def test_a_key_of_outcomes_line_by_line_at_the_foot(tmp_path: Path) -> None:
    said = ("good", "sm", "hung", "good", "mg")
    rows = [f"2031-05-16|1{n}:09|1.45{n}|3.98{n}|6.14{n}|{said[n]}" for n in range(5)]
    foot = [
        "",
        "sm = smoked the tire (spun)",
        "hung = bogged off the line",
        "mg = missed gear,  cherry = red light",
    ]
    con = workbook(tmp_path, {"runs": ["date|time|60 ft|330 ft|1/8|how it went", *rows, *foot]})
    assert column(con, "timeslips", "outcome") == ["clean", "spun", "bogged", "clean", "missed shift"]


def test_figures_for_outcomes_explained_in_the_title(tmp_path: Path) -> None:
    title = "Stoke Heath always. code: 1 clean 2 spun 3 bogged 4 missed gear"
    rows = [f"2031-05-16|1{n}:09|1.45{n}|3.98{n}|6.14{n}|{n + 1}" for n in range(4)]
    con = workbook(tmp_path, {"runs": [title, "date|time|60 ft|330 ft|1/8|code", *rows]})
    assert column(con, "timeslips", "outcome") == ["clean", "spun", "bogged", "missed shift"]


def test_two_lines_a_run_with_words_above_in_every_column(tmp_path: Path) -> None:
    heads = [
        "no.|date|lane|reaction|60|330|660|660 mph",
        "(2nd line)|time|strip|launch|turns|weights|air|hum",
    ]
    rows = []
    for n in range(4):
        rows.append(f"62{n}|May 16 2031|left|0.09{n}|1.45{n}|3.98{n}|6.14{n}|110.{n}")
        rows.append(f"|10:1{n} a.m.|Quarry|6700|4.25|4.8|7{n}|53")
    con = workbook(tmp_path, {"cards": [*heads, *rows]})
    assert moments(con)[1] == "2031-05-16 10:11"
    assert column(con, "timeslips", "t60_s", "launch_rpm", "lane")[2] == (1.452, 6700, "left")


def test_units_below_a_blank_heading_and_dots_for_what_was_left_alone(tmp_path: Path) -> None:
    rows = [
        f"2031-05-16|1{n}:09|1.45{n}|3.98{n}|6.14{n}|112.{n}|{('5400', '.', '+200', '.')[n]}"
        for n in range(4)
    ]
    con = workbook(tmp_path, {"runs": ["date|hour|60|330|660||revs", "||s|s|s|mph|rpm", *rows]})
    assert column(con, "timeslips", "v660_mph", "launch_rpm")[2] == (112.2, 5600)


def test_a_date_without_its_year_beside_the_time_of_day(tmp_path: Path) -> None:
    dates = ("5/9 5:41p", "Sat May 10 6:16p", "5/10 6:51p")
    rows = "".join(
        f"{date};1.45{n};3.98{n};6.14{n};1.75{' / ' if n else 't '}3.2\n" for n, date in enumerate(dates)
    )
    text = "when;60;330;8th;clutch (turns / grams)\n" + rows
    con = ingested(write(tmp_path, {"garage.toml": GARAGE, "runs_2031.csv": text}))[0]
    assert moments(con) == ["2031-05-09 17:41", "2031-05-10 18:16", "2031-05-10 18:51"]


def test_dates_with_blanks_behind_their_points(tmp_path: Path) -> None:
    for which, dates in enumerate((("16. 5. 2031", "17. 5. 2031"), ("2031. 05. 16.", "2031. 05. 17."))):
        rows = [f"{date}|10:1{n}|1.45{n}|3.98{n}|6.14{n}" for n, date in enumerate(dates)]
        con = workbook(tmp_path / f"{which}", {"log": ["Den|Čas|60 ft|330 ft|1/8", *rows]})
        assert moments(con) == ["2031-05-16 10:10", "2031-05-17 10:11"]


def test_a_row_of_units_that_names_the_distance_in_feet_too(tmp_path: Path) -> None:
    heads = [
        "nr|datum|tijd|reactie|60 voet|100 m|200 m|snelh. 200 m",
        "|||s|s|s (330 voet)|s (660 voet)|km/u",
    ]
    rows = [f"{n}|1{n}-05-2031|10:1{n}|0,06{n}|1,45{n}|3,98{n}|6,14{n}|177,{n}" for n in range(1, 4)]
    con = workbook(tmp_path, {"log": [*heads, *rows]})
    assert column(con, "timeslips", "t60_s", "t330_s", "t660_s")[0] == (1.451, 3.981, 6.141)


def test_full_width_digits_are_digits(tmp_path: Path) -> None:
    rows = [f"５/１{n}|１４時３{n}分|左|１．４５{n}|３．９８{n}|６．１４{n}" for n in range(3)]
    con = workbook(tmp_path, {"log": ["2031年 走行記録", "月日|時刻|車線|60ft|330ft|1/8", *rows]})
    assert column(con, "timeslips", "t60_s", "lane")[1] == (1.451, "left")
    assert moments(con)[2] == "2031-05-12 14:32"


def test_words_where_a_number_belongs_go_to_the_notes(tmp_path: Path) -> None:
    rows = [f"2031-05-16|1{n}:09|1.45{n}|3.98{n}|{('6.140', 'forgot to look', '6.142')[n]}" for n in range(3)]
    con = workbook(tmp_path, {"log": ["date|time|60 ft|330 ft|1/8", *rows]})
    assert column(con, "timeslips", "t660_s", "notes")[1] == (None, "forgot to look")
    assert con.execute("select count(*) from questions").fetchall() == [(0,)]


def test_what_is_left_off_a_time_is_put_back(tmp_path: Path) -> None:
    title = "60 foot: I leave off the 1. So 482 = 1.482. Light is thousandths."
    rows = [f"2031-05-16|1{n}:09|{60 + n}|45{n}|3.98{n}|6.14{n}" for n in range(4)]
    rows += ["2031-05-16|15:20|0.071|1.461|3.99|6.15"]
    con = workbook(tmp_path, {"log": [title, "date|time|light|60|330|8th", *rows]})
    assert column(con, "timeslips", "reaction_s", "t60_s")[1::3] == [(0.061, 1.451), (0.071, 1.461)]


def test_the_time_of_a_run_beside_the_moment_a_form_was_sent(tmp_path: Path) -> None:
    rows = [f"2031/05/16 {8 + n}:39:05 AM|{8 + n}:0{n} AM|1.45{n}|3.98{n}|6.14{n}" for n in range(4)]
    con = workbook(tmp_path, {"log": ["Timestamp|Time on the slip|60 ft|330 ft|1/8 mile", *rows]})
    assert moments(con)[1] == "2031-05-16 09:01"


def test_a_key_with_strips_an_example_and_codes_side_by_side(tmp_path: Path) -> None:
    key = ["Code|Meaning", "Tr|Q = Quarry Road Dragway, M = Mill Run", "Si|L left, R right", "Re|reaction s",
           "Rv|launch revs in hundreds, 58 = 5800", "Ta Tt|temp. air / track °C", "Ou|+ = clean"]  # fmt: skip
    rows = [f"2031-05-16|1{n}:09|Q|L|0.06{n}|1.45{n}|3.98{n}|6.14{n}|58|2{n}|3{n}|+" for n in range(3)]
    heads = "Date|Time|Tr|Si|Re|60|330|660|Rv|Ta|Tt|Ou"
    con = workbook(tmp_path, {"runs": [heads, *rows], "key": key})
    assert column(con, "timeslips", "venue", "lane", "launch_rpm")[0] == ("Quarry Road Dragway", "left", 5800)
    assert column(con, "weather", "air_temp_degf") == pytest.approx([68.0, 69.8, 71.6])
    assert column(con, "timeslips", "outcome")[0] == "clean"


def test_a_helper_who_names_what_the_owner_writes_as_a_chain(tmp_path: Path) -> None:
    own = [
        f"1{n}.39am R .08{n} / 1.45{n} / 3.98{n} / 6.14{n} @ 175.{n} / 9.6{n} @ 225.6, good" for n in range(8)
    ]
    helper = [
        f"Run at 11:5{n}, left lane. Reaction 0.09{n}, 60ft 1.47{n}, 330 3.99{n}, "
        f"eighth 6.16{n} at 176.{n} km/h, quarter 9.7{n} at 227.6 km/h. Bogged."
        for n in range(3)
    ]
    text = "\n".join(
        ["Fri 16 May 2031, Quarry Road Dragway", *own, "", "Sat 17 May 2031, Quarry Road Dragway", *helper]
    )
    con = ingested(write(tmp_path, {"garage.toml": GARAGE, "notes.txt": text + "\n"}))[0]
    times = column(con, "timeslips", "t60_s", "t660_s", "t1320_s")
    assert times[0] == (1.45, 6.14, 9.6)
    assert times[9] == (1.471, 6.161, 9.71)
    assert column(con, "timeslips", "v660_mph")[9] == pytest.approx(176.1 / 1.609344)


def test_thousands_and_parts_of_a_turn_in_words(tmp_path: Path) -> None:
    rows = [f"2031-05-16|1{n}:09|1,45{n}|3,98{n}|6,14{n}|5,8 mil|2 e 1/4" for n in range(3)]
    con = workbook(tmp_path, {"log": ["data|hora|60 pés|330 pés|1/8|giro (rpm)|pré-carga (voltas)", *rows]})
    assert column(con, "timeslips", "launch_rpm", "preload_turns")[0] == (5800, 2.25)


def test_a_date_in_place_of_the_day_a_form_was_sent(tmp_path: Path) -> None:
    rows = [
        f"2031/05/1{n} {8 + n}:39:05 AM|{'5/20/2031' * (n == 3)}|{8 + n}:0{n} AM|1.45{n}|3.98{n}|6.14{n}"
        for n in range(4)
    ]
    heads = "Timestamp|Date of run, if not today|Time on the slip|60 ft|330 ft|1/8 mile"
    con = workbook(tmp_path, {"log": [heads, *rows]})
    assert moments(con) == ["2031-05-10 08:00", "2031-05-11 09:01", "2031-05-12 10:02", "2031-05-20 11:03"]


def test_a_tab_that_says_where_each_day_was(tmp_path: Path) -> None:
    rows = [f"{16 + n // 2}.05.31|1{n}:12|1.45{n}|3.98{n}|6.14{n}" for n in range(4)]
    where = [
        "Date|Strip|With",
        "16.05.31|Quarry Road Dragway|alone",
        "17.05.31|Quarry Road Dragway|my brother",
    ]
    con = workbook(tmp_path, {"Slips": ["Date|Hour|60'|330'|1/8", *rows], "Where": where})
    assert column(con, "timeslips", "venue") == ["Quarry Road Dragway"] * 4


def test_a_car_named_beside_its_driver(tmp_path: Path) -> None:
    rows = [f"2031-05-16|1{n}:12|Sigga, Marigold|1.45{n}|3.98{n}|6.14{n}" for n in range(4)]
    con = workbook(tmp_path, {"Slips": ["Date|Hour|Who drove which car?|60'|330'|1/8", *rows]})
    assert set(column(con, "timeslips", "car")) == {"Marigold"}


def test_turns_with_signs_of_fractions_beside_grams(tmp_path: Path) -> None:
    rows = [f"2031-05-16|1{n}:12|1.45{n}|3.98{n}|6.14{n}|4¾ / 4.{n}" for n in range(4)]
    con = workbook(tmp_path, {"Slips": ["Date|Hour|60'|330'|1/8|Clutch turns / g", *rows]})
    assert column(con, "timeslips", "preload_turns", "counterweight_g")[2] == (4.75, 4.2)
