"""Every column of every table, once: name, type, unit, plausible range and meaning.

Ingest checks against it, tables are made from it, exports and the README describe themselves by it.
"""

from __future__ import annotations

from typing import Any

from pipeline.garage.columns import KINDS as KINDS
from pipeline.garage.columns import Column as Column
from pipeline.garage.columns import Kind as Kind
from pipeline.garage.columns import Table as Table


def _n(
    name: str,
    unit: str,
    low: float,
    high: float,
    meaning: str,
    heading: str = "",
    *aliases: str,
    **facts: Any,
) -> Column:
    return Column(name, "DOUBLE", meaning, unit, low, high, heading, aliases, **facts)


def _t(name: str, meaning: str, heading: str = "", *aliases: str, **facts: Any) -> Column:
    return Column(name, "VARCHAR", meaning, heading=heading, aliases=aliases, **facts)


NOON_S = 43200
FILE = _t("file", "sheet's file, below the logbook")
SHEET = _t("sheet", "tab of a workbook, or empty")
ROW = Column("row", "INTEGER", "line of the file or row of the tab, counted from 1")
ORDER = Column("entry_order", "BIGINT", "order in which rows stand in the logbook; breaks ties in time")
NOTES = _t(
    "notes", "what the person wrote beside it",
    "notes", "note", "remarks", "comment", "comments", "remark", "memo", "observations", "run notes", "misc",
)  # fmt: skip
CAR = _t(
    "car", "the car's name in garage.toml", "car", "vehicle", "car name", "ride", "which car", "race car",
    "machine", is_settled=True,
)  # fmt: skip
VENUE = _t(
    "venue", "the strip's name in garage.toml",
    "venue", "strip", "place", "where", "location", "track name", "strip name", "name of track", "race track",
    "drag strip", "raceway", "facility", is_settled=True,
)  # fmt: skip
LANE = _t("lane", "left or right", "lane", "ln", "side", "l/r", "which lane", "left/right", is_settled=True)
QUESTIONED = Column("questioned", "VARCHAR[]", "columns of this row that wait for an answer")
DRIVER = _t("driver", "who drove", "driver", "who drove", "driven by", "pilot", "driver name")
LAUNCH_STYLE = _t(
    "launch_style", "how the pedal was let out, in a word or two",
    "launch style", "style", "way of launching", "pedal", "how launched", "launch type", "release",
)  # fmt: skip
LAUNCH_RPM = _n(
    "launch_rpm", "rpm", 1000, 12000, "engine speed at which the pedal is released",
    "launch rpm", "rpm", "launch", "leave rpm", "leave at", "2 step", "two step", "launch at", "leaving rpm",
    "rpm at launch", "rpms", "2 step rpm", "two step rpm", "launch limiter", "dump rpm", "starting rpm",
    role="setting",
)  # fmt: skip
TRACK_TEMP = _n(
    "track_temp_degf", "degF", 25, 190, "track surface at the starting line",
    "track temp", "track temperature", "surface temp", "track", "ttemp", "track surface", "gun temp",
    "temp gun", "ir temp", "infrared", "lane temp", "starting line temp", "start line temp", "pavement temp",
    "asphalt temp", "concrete temp", "ground temp", "trk temp", "surface temperature",
)  # fmt: skip
PRELOAD_TURNS = _n(
    "preload_turns", "turn", 0, 8, "turns of the adjusters, mean of the screws",
    "preload turns", "turns", "preload", "base turns", "base", "screws", "clutch turns", "turns in",
    "base pressure turns", "turns of base", "turns of preload", "adjuster turns", "screw turns",
    role="setting", each="preload_screws",
)  # fmt: skip
COUNTERWEIGHT = _n(
    "counterweight_g", "g", 0, 120, "mass added at each lever's tip",
    "counterweight", "cw", "weight per lever", "arm weight", "lever weight", "counter weight", "grams",
    "arm weights", "lever weights", "counterweights", "counter weights", "weight per arm", "grams per lever",
    "grams per arm", "tip weight", "cwt", role="setting",
)  # fmt: skip
TIRE_PRESSURE = _n(
    "tire_pressure_psi", "psi", 2, 40, "rear tire pressure",
    "tire pressure", "tyre pressure", "tire psi", "psi", "rear tire", "rear psi", "tires", "tire", "tyre",
    "tyres", "tyre psi", "rear tires", "rear tire pressure", "rear tire psi", "slick pressure", "slick psi",
    "tire air", role="setting",
)  # fmt: skip
SETTING_WORDS = {
    "launch_rpm": ("launch rpm", "launch", "clutch dump rpm", "dump", "rpm", "start rpm", "clutch out at",
                   "limiter", "revs", "launch revs", "turns motor", "engine speed", "launch turns"),
    "preload_turns": ("preload", "screw turns", "turns", "base turns", "screws", "preload screw turns",
                      "clutch turns", "clutch screws", "preload base", "screw rpm", "preload rpm"),
    "counterweight_g": ("weight lever", "weight gram", "counter weight", "lever grams", "gram", "weight",
                        "counter weight lever", "weight gram lever"),
    "tire_pressure_psi": ("tire pressure", "tire psi", "tire", "rear tire pressure", "psi", "tire air",
                          "rear tire"),
}  # fmt: skip
"""Looser words for the settings, each its column's: no heading alone, but with what stands under it."""
EXTRAS = Column("extras", "MAP(VARCHAR, DOUBLE)", "adjustments named in garage.toml, by name")

TIMESLIPS = Table(
    "timeslips",
    "one row per run on paper",
    (
        Column("slip_id", "BIGINT", "number of the slip in this store"),
        FILE, SHEET, ROW, ORDER, CAR,
        Column("run_at", "TIMESTAMP", "date and time of the run"),
        Column("has_time", "BOOLEAN", "whether a time of day was written"),
        VENUE,
        _t("event", "name of the event", "event", "meet", "race", "meeting", "event name", "race name"),
        _t("round", "time trial, qualifying, elimination, bye", "round", "rnd", "session", "rd",
           "run type", "type of run"),
        LANE, DRIVER, LAUNCH_STYLE,
        _n("reaction_s", "s", -2, 10, "green light to leaving; minus = red light",
           "reaction", "rt", "r t", "react", "reaction time", "light", "react time", "tree",
           role="result"),
        _n("t60_s", "s", 0.7, 6, "elapsed time to 60 ft",
           "60 ft", "60", "60'", "sixty", "sixty foot", "short time", "60ft", "60 foot", "t60",
           "60 foot time", "60 ft time", "60 et", "60 time", "60 feet", "sixty ft", "sixty feet",
           "short times", role="ticket", decimals=3),
        _n("t330_s", "s", 2.2, 20, "elapsed time to 330 ft",
           "330 ft", "330", "330'", "330ft", "t330", "330 foot", "330 feet", "330 time", "three thirty",
           role="ticket", decimals=3),
        _n("t660_s", "s", 3.4, 30, "elapsed time to 660 ft",
           "660 ft", "660", "1/8", "eighth", "1/8 et", "660 et", "660'", "eighth mile", "1/8 mile", "t660",
           "660 foot", "660 feet", "660 time", "1/8 time", "1/8th", "1/8th et", "1/8th mile", "1/8 mile et",
           "eighth et", "8th", "8th et", "8th mile", "half track", role="ticket", decimals=3),
        _n("v660_mph", "mph", 25, 260, "mean speed over the 66 ft before 660 ft",
           "660 mph", "1/8 mph", "eighth mph", "1/8 speed", "660 speed", "mph 1/8", "v660", "mph 660",
           "mph at 660", "660 trap", "1/8 trap", "1/8th mph", "1/8 mile mph", "8th mph", "mph at 1/8",
           "eighth speed", "half track mph", role="ticket", decimals=2),
        _n("t1000_s", "s", 4.5, 40, "elapsed time to 1000 ft",
           "1000 ft", "1000", "1000'", "1000ft", "thousand", "t1000", "1000 foot", "1000 feet", "1000 time",
           "1000 et", "thousand foot", role="ticket", decimals=3),
        _n("t1320_s", "s", 5.5, 45, "elapsed time to 1320 ft",
           "1320 ft", "1320", "1/4", "quarter", "et", "e t", "1/4 et", "1320 et", "quarter mile", "1/4 mile",
           "t1320", "1320 foot", "1320 feet", "1320 time", "1/4 time", "1/4 mile et", "quarter et",
           "final et", "elapsed time", "elapsed", role="ticket", decimals=3),
        _n("v1320_mph", "mph", 20, 340, "mean speed over the 66 ft before 1320 ft",
           "1320 mph", "mph", "1/4 mph", "quarter mph", "trap", "trap speed", "speed", "1/4 speed", "v1320",
           "mph 1320", "mph at 1320", "mph 1/4", "1/4 mile mph", "1320 speed", "1320 trap", "1/4 trap",
           "quarter speed", "final mph", "finish mph", "top end mph", "trap mph",
           role="ticket", decimals=2),
        LAUNCH_RPM, TRACK_TEMP, PRELOAD_TURNS, COUNTERWEIGHT, TIRE_PRESSURE, EXTRAS,
        _t("outcome", "clean, spun, bogged, missed shift, lifted, aborted, broke, red light",
           "outcome", "result", "how it went", "what happened", "how'd it go", "how did it go", "how was it",
           "what it did", "how it ran", role="result"),
        Column("lifted_after_ft", "INTEGER", "last good split of a lifted, missed or broken run, in ft"),
        NOTES, QUESTIONED,
    ),
    untimed_s=None,
)  # fmt: skip
WEATHER = Table(
    "weather",
    "one row per weather reading",
    (
        Column("reading_id", "BIGINT", "number of the reading in this store"),
        FILE, SHEET, ROW, VENUE,
        Column("read_at", "TIMESTAMP", "date and time of the reading"),
        _n("air_temp_degf", "degF", 10, 130, "air temperature in the shade",
           "air temp", "air", "air temperature", "temp", "temperature", "ambient", "outside temp",
           "ambient temp", "outside air"),
        _n("pressure_inhg", "inHg", 20, 32, "barometer, of the kind beside it",
           "pressure", "baro", "barometer", "bar", "air pressure", "baro pressure", "barometric pressure",
           "barometric", "station pressure", needs="pressure_kind"),
        _t("pressure_kind", "station or altimeter",
           "pressure kind", "kind", "baro kind", "barometer kind", "station or altimeter",
           is_settled=True),
        _n("humidity_pct", "%", 0, 100, "relative humidity",
           "humidity", "rh", "hum", "relative humidity", "rel hum", "rel humidity"),
        _n("dew_point_degf", "degF", -20, 95, "dew point", "dew point", "dew", "dewpoint", "dew pt"),
        _n("wet_bulb_degf", "degF", 0, 110, "wet bulb temperature", "wet bulb", "wetbulb", "wet bulb temp"),
        _n("grains", "gr/lb", 0, 250, "water in a pound of dry air",
           "grains", "water grains", "grains of water", "grains water", "vapor grains"),
        _n("wind_speed_mph", "mph", 0, 60, "wind speed", "wind speed", "wind", "wind mph", "wind spd"),
        _t("wind_from", "where the wind comes from",
           "wind from", "wind dir", "wind direction", "wind out of"),
        NOTES, QUESTIONED,
    ),
    untimed_s=NOON_S,
)  # fmt: skip
TRACK = Table(
    "track",
    "one row per track reading",
    (
        Column("reading_id", "BIGINT", "number of the reading in this store"),
        FILE, SHEET, ROW, VENUE,
        Column("read_at", "TIMESTAMP", "date and time of the reading"),
        LANE, TRACK_TEMP, NOTES, QUESTIONED,
    ),
    untimed_s=NOON_S,
)  # fmt: skip
SETUPS = Table(
    "setups",
    "one row per change of the setup; what is empty stays as it was",
    (
        Column("setup_id", "BIGINT", "number of the change in this store"),
        FILE, SHEET, ROW, ORDER, CAR,
        Column("set_at", "TIMESTAMP", "date and time from which it is in force"),
        PRELOAD_TURNS,
        Column("preload_screws", "DOUBLE[]", "turns of each screw, when written one by one"),
        COUNTERWEIGHT, LAUNCH_RPM, TIRE_PRESSURE, EXTRAS, NOTES, QUESTIONED,
    ),
)  # fmt: skip
CHECKS = Table(
    "checks",
    "one row per clutch check or service",
    (
        Column("check_id", "BIGINT", "number of the check in this store"),
        FILE, SHEET, ROW, ORDER, CAR,
        Column("checked_at", "TIMESTAMP", "date and time of the check"),
        _n("ring_height_in", "in", 0.4, 3, "top of cover down to the pressure ring, mean",
           "ring height", "ring", "height", "ring ht", "ring hgt", "ring heights", "pressure ring height",
           "pressure ring", each="ring_heights_in"),
        Column("ring_heights_in", "DOUBLE[]", "ring height at each stand, when written one by one"),
        _n("shim_removed_in", "in", 0, 0.25, "thickness of shim taken out",
           "shim removed", "shim", "shim out", "shims removed", "shims out", "shims pulled",
           "shim taken out"),
        _n("bearing_clearance_in", "in", 0, 1, "throw-out bearing to lever tips, pedal up",
           "bearing clearance", "clearance", "bearing", "throwout clearance", "throw out clearance",
           "throwout bearing", "throw out bearing", "bearing gap"),
        _n("disc_thickness_in", "in", 0.1, 1, "thickness of the disc",
           "disc thickness", "disc", "disk", "disk thickness", "disc thick", "disk thick"),
        NOTES, QUESTIONED,
    ),
)  # fmt: skip
RUNS = Table(
    "runs",
    "one row per run, on equal terms",
    (
        Column("run_id", "BIGINT", "number of the run in this store, by car and time"),
        CAR,
        _t("event", "name of the event, or date and venue"),
        Column("run_at", "TIMESTAMP", "date and time of the run"),
        Column("run_date", "DATE", "date of the run"),
        VENUE,
        _t("round", "time trial, qualifying, elimination, bye"),
        LANE, DRIVER, LAUNCH_STYLE,
        Column("run_of_event", "INTEGER", "first, second, ... run of the car at the event"),
        *(TIMESLIPS.column(name) for name in (
            "reaction_s", "t60_s", "t330_s", "t660_s", "v660_mph", "t1000_s", "t1320_s", "v1320_mph")),
        _n("t60_330_s", "s", 1, 15, "60 to 330 ft"),
        _n("t330_660_s", "s", 0.8, 15, "330 to 660 ft"),
        _n("t660_1000_s", "s", 0.8, 15, "660 to 1000 ft"),
        _n("t1000_1320_s", "s", 0.6, 15, "1000 to 1320 ft"),
        LAUNCH_RPM, PRELOAD_TURNS,
        _n("preload_spread_turns", "turn", 0, 8, "most less least turns of the screws"),
        COUNTERWEIGHT, TIRE_PRESSURE, EXTRAS, TRACK_TEMP,
        _n("track_temp_gap_h", "", 0, 24, "hours to the nearest track reading used"),
        WEATHER.column("air_temp_degf"),
        _n("station_pressure_inhg", "inHg", 20, 32, "barometer at the strip itself"),
        _n("vapor_pressure_inhg", "inHg", 0, 4, "pressure of the water vapor"),
        WEATHER.column("humidity_pct"),
        _n("weather_gap_h", "", 0, 48, "hours to the nearest weather reading used"),
        _n("air_density_kg_per_m3", "", 0.6, 1.5, "density of the moist air, in kg per cubic metre"),
        _n("density_altitude_ft", "ft", -6000, 15000, "height in the standard atmosphere with that density"),
        _n("j607_factor", "", 0.7, 1.6, "SAE J607 horsepower correction"),
        _n("j1349_factor", "", 0.7, 1.6, "SAE J1349 horsepower correction"),
        _n("headwind_mph", "mph", -60, 60, "wind from ahead; minus = from behind"),
        Column("service_no", "INTEGER", "0 before the first service, then 1, 2, ..."),
        Column("runs_since_service", "INTEGER", "runs made since the clutch was serviced"),
        Column("runs_on_tires", "INTEGER", "runs made on these tires, from a note that they are new"),
        Column("runs_on_disc", "INTEGER", "runs made on this disc, from a note that it is new"),
        CHECKS.column("ring_height_in"),
        _n("wear_in", "in", -0.1, 0.3, "growth of the ring height since the clutch was set"),
        _n("preload_lb", "lb", 0, 10000, "static plate load left after wear"),
        _n("centrifugal_lb", "lb", 0, 50000, "plate load from the levers at launch rpm"),
        _n("plate_load_lb", "lb", 0, 60000, "static and centrifugal plate load at launch"),
        _t("outcome", "clean, spun, bogged, missed shift, lifted, aborted, broke, red light"),
        NOTES,
        Column("use_t60", "BOOLEAN", "whether the 60 ft time counts"),
        Column("use_t60_330", "BOOLEAN", "whether the 60-330 ft section counts"),
        Column("use_t330", "BOOLEAN", "whether the 330 ft time counts"),
        _t("left_out_reason", "why a split does not count; empty when all do"),
        QUESTIONED, FILE, SHEET, ROW,
    ),
)  # fmt: skip
QUESTIONS = Table(
    "questions",
    "one row per doubtful entry",
    (
        _t("question_id", "stable name of the question"),
        FILE, SHEET, ROW,
        _t("column", "canonical column of the entry"),
        _t("value", "the entry as typed"),
        _t("reading", "how it was read, if at all"),
        _t("problem", "what is wrong with it, in words"),
        _t("suggestion", "the likely true value, if there is one"),
        _t("severity", "questioned, rejected or doubt"),
        _t("answer", "what the person answered, if anything"),
        _t("rule", "what found it, most often a file of queries/doubts/"),
        _t("group_id", "name of its cause: entries with the same one are answered together"),
    ),
)  # fmt: skip
SHEET_COUNTS = Table(
    "sheet_counts",
    "one row per sheet; read = kept + questioned + rejected + set_aside",
    (
        FILE, SHEET,
        _t("kind", "timeslips, weather, track, setups, checks, answers or unrecognised"),
        Column("read", "BIGINT", "rows read"),
        Column("kept", "BIGINT", "rows kept with nothing to answer"),
        Column("questioned", "BIGINT", "rows kept with an entry that waits for an answer"),
        Column("rejected", "BIGINT", "rows that cannot be used at all"),
        Column("set_aside", "BIGINT", "headings, blanks, totals, merged doubles, left out by answer"),
    ),
)  # fmt: skip

DATE_WORDS = ("date", "day", "run date", "when", "date time", "datetime", "date and time", "date/time")
TIME_WORDS = ("time", "clock", "time of day", "hour", "at", "clock time")
"""Headings that are not a stored column of their own."""

SHEET_TABLES: dict[Kind, Table] = {
    "timeslips": TIMESLIPS, "weather": WEATHER, "track": TRACK, "setups": SETUPS, "checks": CHECKS,
}  # fmt: skip
COLUMNS = {column.name: column for table in SHEET_TABLES.values() for column in table.columns}
"""Every column of the sheets, by name: the same name is the same quantity everywhere."""
WORD_COLUMNS = frozenset(column.name for table in SHEET_TABLES.values() for column in table.texts)
"""Columns in which people write words: whatever stands there can be kept as it is."""
TABLES: tuple[Table, ...] = (*SHEET_TABLES.values(), RUNS, QUESTIONS, SHEET_COUNTS)
OUTCOMES = ("clean", "spun", "bogged", "missed shift", "lifted", "aborted", "broke", "red light")
