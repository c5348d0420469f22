"""Limits of garage.toml as people write numbers: read right or refused, never another number."""

import math
import random
import tomllib

import pytest
from pydantic import ValidationError

from pipeline.errors import UnitError
from pipeline.garage.logbook import Garage
from pipeline.garage.units import Plausible, parse_quantity

GARAGES = 300
# key -> table, unit, least and most of an ordinary car, decimals a person writes
LIMITS = {
    "launch_rpm_limits": ("car", "rpm", 3500, 9500, 0),
    "tire_pressure_limits": ("car", "psi", 6, 30, 1),
    "weight": ("car", "lb", 1400, 4200, 0),
    "engine_rpm_limit": ("car", "rpm", 9600, 11500, 0),
    "base_load": ("clutch", "lb", 120, 2600, 0),
    "least_base_load": ("clutch", "lb", 100, 1200, 0),
    "spring_rate": ("clutch", "lb/in", 60, 1800, 0),
    "counterweight_limits": ("clutch", "g", 0, 60, 1),
    "service_growth": ("clutch", "in", 0.011, 0.07, 3),
    "ring_height_new": ("clutch", "in", 1.1, 2.9, 3),
    "bearing_clearance": ("clutch", "in", 0.06, 0.4, 3),
    "elevation": ("venue", "ft", 200, 7200, 0),
}
OTHER_UNITS = {
    "psi": ("kPa", 6.894757293168),
    "lb": ("kg", 0.45359237),
    "in": ("mm", 25.4),
    "ft": ("m", 0.3048),
}


def written(value: float, unit: str, decimals: int, luck: random.Random) -> str:
    """A TOML value as somebody may write it."""
    plain = f"{value:.{decimals}f}"
    grouped = f"{value:,.{decimals}f}"
    other, times = OTHER_UNITS.get(unit, (unit, 1.0))
    elsewhere = f"{value * times:,.3f} {other}"
    return luck.choice(
        (
            plain,
            f'"{plain}"',
            f'"{plain} {unit}"',
            f'"{plain}{unit}"',
            f'"{grouped} {unit}"',
            f'"{grouped}"',
            f'"{grouped.replace(",", " ")} {unit}"',
            f'"{plain.replace(".", ",")} {unit}"',
            f'"{grouped.translate(str.maketrans(",.", ".,"))} {unit}"',
            f'"{elsewhere}"',
            f'"{elsewhere.translate(str.maketrans(",.", ".,"))}"',
        )
    )


def a_garage(luck: random.Random) -> tuple[str, dict[str, list[float]]]:
    texts: dict[str, list[str]] = {"car": ['name = "A"'], "clutch": ['name = "B"'], "venue": ['name = "C"']}
    true: dict[str, list[float]] = {}
    for key, (table, unit, low, high, decimals) in LIMITS.items():
        count = 2 if key.endswith("limits") else 1
        true[key] = sorted(round(luck.uniform(low, high), decimals) for _ in range(count))
        values = [written(value, unit, decimals, luck) for value in true[key]]
        texts[table].append(f"{key} = " + (f"[{', '.join(values)}]" if count == 2 else values[0]))
    return "\n".join(f"[[{table}]]\n" + "\n".join(lines) for table, lines in texts.items()), true


def test_three_hundred_garages_are_read_right_or_refused() -> None:
    luck = random.Random(20310405)
    read_right = 0
    for _ in range(GARAGES):
        text, true = a_garage(luck)
        try:
            garage = Garage.model_validate(tomllib.loads(text))
        except ValidationError:
            continue
        read_right += 1
        parts = {"car": garage.cars[0], "clutch": garage.clutches[0], "venue": garage.venues[0]}
        for key, values in true.items():
            told = parts[LIMITS[key][0]].line(key)
            found = list(told) if isinstance(told, tuple) else [told]
            assert found == pytest.approx(values, rel=1e-3, abs=2e-4), text
    assert read_right > GARAGES / 10


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ('[[car]]\nname = "A"\nlaunch_rpm_limits = ["5,200 rpm", "7,600 rpm"]', (5200.0, 7600.0)),
        ('[[car]]\nname = "A"\nweight = "2,700 lb"', 2700.0),
        ('[[car]]\nname = "A"\nweight = "1.225,5 kg"', 2701.765),
        ('[[venue]]\nname = "A"\nelevation = "1,250 ft"', 1250.0),
        ('[[venue]]\nname = "A"\nelevation = "381,000 m"', 1250.0),
        ('[[clutch]]\nname = "A"\nservice_growth = "0,030 in"', 0.030),
        ('[[clutch]]\nname = "A"\nring_height_new = "2,200 in"', 2.2),
    ],
)
def test_a_comma_is_read_as_the_quantity_allows(line: str, found: object) -> None:
    table, key = line[2 : line.index("]")], line.rsplit("\n", 1)[1].split(" ")[0]
    garage = Garage.model_validate(tomllib.loads(line))
    part = {"car": garage.cars, "venue": garage.venues, "clutch": garage.clutches}[table][0]
    assert part.line(key) == pytest.approx(found, rel=1e-6)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("launch_rpm_limits = [5, 7.6]", "5 is outside 1500 to 12000 rpm"),
        ('launch_rpm_limits = ["5.2 rpm", "7600 rpm"]', "read as 5.2 rpm, is outside 1500 to 12000 rpm"),
        ("engine_rpm_limit = 90000", "90000 is outside 500 to 20000 rpm"),
        ('tire_pressure_limits = ["80 kPa", "1400 kPa"]', "is outside 1 to 80 psi"),
        ('weight = "2.7 lb"', "is outside 300 to 10000 lb. Check the number, its comma and its unit"),
        ("weight = nan", "nan is outside"),
    ],
)
def test_what_no_car_has_is_refused_with_its_value_and_remedy(line: str, said: str) -> None:
    with pytest.raises(ValidationError) as refused:
        Garage.model_validate(tomllib.loads(f'[[car]]\nname = "A"\n{line}'))
    assert said in str(refused.value)


def test_where_both_readings_may_be_meant_both_are_shown() -> None:
    with pytest.raises(
        UnitError, match=r"'1,250 lb' may be 1250 lb or 1\.250 lb\. Write it without the comma"
    ):
        parse_quantity("1,250 lb", "lb", Plausible(1, 5000))
    assert math.isclose(parse_quantity("1,250.5 lb", "lb"), 1250.5)
