"""Habits of people nobody has seen: other tongues, cards, diaries, parts of units, lines of pairs."""

from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.ingest.recognise.cards import on_cards
from tests.ingest.logbooks import column, ingested, write

GARAGE = '[[car]]\nname = "Marigold"\n\n[[venue]]\nname = "Quarry Road Dragway"\nelevation_ft = 300\n'
TONGUES = {
    "Turkish": "Tarih;Saat;Kulvar;Reaksiyon;60 ft;660 ft;Hız km/s;Devir;Önyük (tur);Ağırlık g;Hava °C;Nem",
    "Russian": "Дата;Время;Дорожка;Реакция;60 футов;660;км/ч;Обороты;Преднатяг;Грузики г;Воздух;Влажность",
    "Korean": "날짜;시각;레인;반응;60ft;1/8;속도;출발 회전수;예압;무게추 g;기온;습도",
    "Arabic": "التاريخ;الوقت;المسار;رد الفعل;60 قدم;ثمن ميل;السرعة;دورات الانطلاق;شد;وزن الذراع;الجو;الرطوبة",
    "Croatian": "Datum;Sat;Traka;Reakcija;60 ft;1/8;brzina;Okretaji;Predopterećenje;Uteg g;Zrak;Vlaga",
    "Finnish, short": "Pvm;Klo;Kaista;RT;60;660;nop.;Lähtökierr.;Kierteet;Punnus;Ulkoilma;Kost.",
}
ROWS = (
    ("16.05.2031", "10:12", "L", "0,062", "1,452", "6,142", "180,9", "6200", "3,25", "4,2", "20", "55"),
    ("16.05.2031", "11:25", "R", "0,091", "1,447", "6,131", "181,7", "6200", "3", "4,2", "21", "52"),
    ("17.05.2031", "10:31", "L", "0,120", "1,449", "6,137", "181,2", "6100", "3", "4,4", "19", "60"),
    ("17.05.2031", "12:14", "L", "0,055", "1,455", "6,149", "180,6", "6300", "3,5", "4,1", "22", "51"),
)


def read(root: Path, text: str, name: str = "notes.txt") -> object:
    return ingested(write(root, {"garage.toml": GARAGE, name: text}))[0]


@pytest.mark.parametrize("heads", TONGUES.values(), ids=TONGUES)
def test_a_table_in_another_tongue(heads: str, tmp_path: Path) -> None:
    con = read(tmp_path, "\n".join([heads, *map(";".join, ROWS)]) + "\n", "log.csv")
    assert column(con, "timeslips", "reaction_s", "t60_s", "t660_s")[1] == (0.091, 1.447, 6.131)
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "counterweight_g")[3] == (6300, 3.5, 4.1)
    assert column(con, "timeslips", "v660_mph")[0] == pytest.approx(112.41, abs=0.01)
    assert column(con, "weather", "air_temp_degf", "humidity_pct")[0] == (pytest.approx(68.0), 55.0)


@pytest.mark.parametrize(
    "card",
    [
        "Tur {n}\n{day}.5.2031  kl 1{n}.09  høyre bane\n60 fot 1,45{n} / 330 fot 3,98{n}\n"
        "åttendedel 6,14{n} (180,9 km/t)\n-> spant\n\n",
        "1{n}:09 R\n.06{n}\n1.45{n}\n3.98{n}\n6.14{n}  112.4\n\n",
        "### Run {n} (1{n}:09, R)\n- **60':** 1.45{n}\n- **330':** 3.98{n}\n- **660':** 6.14{n} @ 112.4\n\n",
        "RUN {n} - 1{n}:09\n * 60ft 1.45{n}, 330ft 3.98{n}\n * 660ft 6.14{n} at 112.4 mph\n * spun it\n\n",
        "#{n} | 1{n}:09\n60=1.45{n} 330=3.98{n}\n660=6.14{n} mph=112.4\n\n",
        "T{n} 1{n}:09 R\n1.45{n} / 3.98{n}\n6.14{n} @ 112.4\n\n",
    ],
)
def test_a_run_on_a_card_of_several_lines(card: str, tmp_path: Path) -> None:
    text = "".join(card.format(n=n, day=n + 10) for n in range(1, 5))
    con = read(tmp_path, text if "day" in card else f"May 13 2031 Quarry Road\n\n{text}")
    assert [f"{at:%H:%M}" for at in column(con, "timeslips", "run_at")] == [
        "11:09",
        "12:09",
        "13:09",
        "14:09",
    ]
    assert column(con, "timeslips", "t60_s", "t330_s", "t660_s")[1] == (1.452, 3.982, 6.142)
    assert column(con, "timeslips", "v660_mph")[1] == pytest.approx(112.4, abs=0.02)


def test_lines_that_are_runs_by_themselves_are_no_cards() -> None:
    lines = [
        line
        for at in range(5)
        for line in (f"SET 620{at}, 2.25 turns", f"1{at}:12 .06 / 1.45 / 3.98 / 6.14 @ 112.4")
    ]
    assert on_cards(list(enumerate(lines, start=1)), lambda _: ("", 0.0)) is None


@pytest.mark.parametrize(
    ("day", "clutch", "run"),
    [
        ("16. Mai 2031, Quarry Road. Wetter: Luft 20 Grad, Luftdruck 1009 mbar, Feuchte 55 %.",
         "Kupplung: Vorspannung 3,25 Umdrehungen, Gewichte 4,2 Gramm, Startdrehzahl 6200.",
         "{t} Uhr, linke Bahn: Reaktion 0,06{n}, 60 Fuß 1,45{n}, Achtelmeile 6,14{n} mit 180,9 km/h."),
        ("16 de mayo de 2031, Quarry Road. Clima: aire 20 C, presión 1009 hPa, humedad 55 %.",
         "Embrague: precarga 3,25 vueltas, contrapesos 4,2 g, salida a 6200 rpm.",
         "{t} hs, carril derecho: reacción 0,06{n}, 60 pies 1,45{n}, octavo 6,14{n} a 180,9 km/h."),
        ("16 maja 2031, Quarry Road. Pogoda: powietrze 20 C, ciśnienie 1009 hPa, wilgotność 55%.",
         "Sprzęgło: naciąg 3,25 obrotu, ciężarki 4,2 g, start 6200 obr/min.",
         "{t}, lewy tor: reakcja 0,06{n}, 60 stóp 1,45{n}, 1/8 mili 6,14{n} przy 180,9 km/h."),
    ],
    ids=["German", "Spanish", "Polish"],
)  # fmt: skip
def test_a_diary_in_sentences(day: str, clutch: str, run: str, tmp_path: Path) -> None:
    runs = [run.format(t=f"1{n}:12", n=n) for n in range(4)]
    con = read(tmp_path, "\n".join([day, clutch, *runs]) + "\n")
    assert column(con, "timeslips", "reaction_s", "t60_s", "t660_s")[2] == (0.062, 1.452, 6.142)
    assert f"{column(con, 'timeslips', 'run_at')[2]:%Y-%m-%d %H:%M}" == "2031-05-16 12:12"
    assert column(con, "setups", "launch_rpm", "preload_turns", "counterweight_g") == [(6200, 3.25, 4.2)]
    assert column(con, "weather", "air_temp_degf", "humidity_pct")[0] == (pytest.approx(68.0), 55.0)


@pytest.mark.parametrize(
    "head",
    [
        "preload in quarter turns and weights in tenths of a gram\nDate,Time,60,660,RPM,Preload,Weights",
        "Date,Time,60,660,RPM x100,Preload (1/4 turns),Weights (1/10 g)",
        "Date,Time,60,660,Launch,Preload,Weight\n,,s,s,rpm x 100,1/4 turns,1/10 g",
    ],
)
def test_numbers_in_parts_of_a_unit(head: str, tmp_path: Path) -> None:
    rpm = "62" if "100" in head else "6200"
    rows = "".join(f"2031-05-16,1{n}:12,1.45{n},6.14{n},{rpm},{13 + n},{42 + n}\n" for n in range(4))
    con = read(tmp_path, f"{head}\n{rows}", "log.csv")
    table = "timeslips" if column(con, "timeslips", "preload_turns")[0] is not None else "setups"
    assert column(con, table, "launch_rpm", "preload_turns", "counterweight_g")[:2] == [
        (6200, 3.25, pytest.approx(4.2)),
        (6200, 3.5, pytest.approx(4.3)),
    ]


def test_pairs_of_words_and_numbers_between_rows(tmp_path: Path) -> None:
    rows = "10:12;1.452;6.142;;;;;;\n->;turns;3;weight;4.4;;;;\n11:25;1.447;6.131;;;;;;\n"
    text = (
        "Data:;16/05/2031;sábado;;;;;;\nTempo:;ar °C;20;pista °C;29;pressão hPa;1009;umidade %;55\n"
        f"->;rpm;6200;turns;3.25;weight;4.2;;\nHora;60 pés;201 m;;;;;;\n{rows}"
    )
    con = read(tmp_path, text, "log.csv")
    assert column(con, "timeslips", "t60_s", "t660_s") == [(1.452, 6.142), (1.447, 6.131)]
    assert column(con, "setups", "launch_rpm", "preload_turns", "counterweight_g")[-1] == (None, 3, 4.4)
    assert column(con, "track", "track_temp_degf") == [pytest.approx(84.2)]


def test_a_table_of_which_no_heading_is_known(tmp_path: Path) -> None:
    rows = "".join(f"2031-05-16,1{n}:12,.06{n},1.45{n},3.98{n},6.14{n},112.{n}\n" for n in range(5))
    con = read(tmp_path, f"Tagg,Kkk,Zq,Ab,Bc,Cd,Ve\n{rows}", "log.csv")
    assert column(con, "timeslips", "t60_s", "t330_s", "t660_s", "v660_mph")[1] == (
        1.451,
        3.981,
        6.141,
        112.1,
    )


def test_pressure_in_metric_units_tells_that_degrees_are_celsius(tmp_path: Path) -> None:
    rows = "".join(f"2031-05-16,1{n}:12,1.45{n},6.14{n},112.{n},{20 + n},101{n},5{n}\n" for n in range(5))
    con = read(tmp_path, f"Date,Time,60,660,MPH,Air,QNH,RH\n{rows}", "log.csv")
    assert column(con, "weather", "air_temp_degf")[0] == pytest.approx(68.0)
    assert column(con, "timeslips", "v660_mph")[0] == 112.0
    assert con.execute("select count(*) from questions where \"column\" = 'heading'").fetchone() == (0,)


GROUPED = """time lane | RT / 60 / 330 / 201 m (km/h) / 402 m (km/h) | rpm, turns, g | air °C, RH, track °C

*Sat 16/05/2031 Quarry Road Dragway*
12h22 right | 0,030 / 1,540 / 4,225 / 6,513 (174) / 10,201 (217) | 6000rpm, 1,75v, 3,6g | 25°, 60%, 30°
13h41 left | 0,080 / 1,718 / 4,426 / 6,732 (173) / 10,418 (217) | 6000rpm, 1,75v, 3,6g | 25°, 57%, 31° - spun
15h11 right | 0,118 / 1,544 / 4,226 / 6,531 (173) / 10,196 (216) | 6200rpm, 2v, 3,8g | 26°, 56%, 30°
16h30 right | 0,125 / 1,525 / 4,219 / x (x) / x (x) | 6200rpm, 2v, 3,8g | 25°, 58%, 30°
"""


def test_values_in_groups_stand_as_a_line_above_names_them(tmp_path: Path) -> None:
    con = read(tmp_path, GROUPED)
    assert column(con, "timeslips", "t60_s", "t660_s", "t1320_s") == [
        (1.540, 6.513, 10.201), (1.718, 6.732, 10.418), (1.544, 6.531, 10.196), (1.525, None, None)
    ]  # fmt: skip
    assert column(con, "timeslips", "launch_rpm", "preload_turns", "lane")[2] == (6200, 2.0, "right")
    assert column(con, "timeslips", "v660_mph")[0] == pytest.approx(174 / 1.609344)
    assert column(con, "weather", "air_temp_degf")[1] == pytest.approx(77.0)
    assert column(con, "timeslips", "outcome")[1] == "spun"
