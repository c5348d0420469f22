-- Purpose: the air formulas of pipeline/physics as macros, in SI; sources and ranges stand there.
-- Constants that only multiply each other are multiplied out: bulk arithmetic is paid by the operation.
-- Grain: none; these are temporary macros, made anew on each connection.
-- Makes: kelvin, saturation_vapor_pressure_pa, buck_b, dew_point_k, humidity_ratio, vapor_from_ratio_pa, ratio_from_wet_bulb, vapor_from_wet_bulb_pa, density_simple, density_altitude_m, station_from_altimeter_pa, j607, j1349
create or replace temp macro kelvin(temp_degf) as (temp_degf + 459.67) / 1.8;

-- Buck 1996, over liquid water. With u = t + 257.14 its exponent (18.678 - t/234.5) t/(257.14 + t) is
-- (18.678 + 2 x 257.14/234.5) - u/234.5 - 257.14 (18.678 + 257.14/234.5)/u; ln 611.21 is taken in.
create or replace temp macro saturation_vapor_pressure_pa(temp_k) as
    exp(
        27.28653228340998
        - 0.0042643923240938165 * (temp_k - 16.01)
        - 5084.826717867803 / (temp_k - 16.01)
    );

-- Buck 1996 solved for the temperature.
create or replace temp macro buck_b(vapor_pa) as 18.678 - ln(vapor_pa / 611.21);
create or replace temp macro dew_point_k(vapor_pa) as
    117.25 * (
        buck_b(vapor_pa)
        - sqrt(
            buck_b(vapor_pa) * buck_b(vapor_pa)
            - 4.386183368869935 * (18.678 - buck_b(vapor_pa))
        )
    ) + 273.15;

create or replace temp macro humidity_ratio(vapor_pa, pressure_pa) as
    0.621945 * vapor_pa / (pressure_pa - vapor_pa);

create or replace temp macro vapor_from_ratio_pa(ratio, pressure_pa) as
    pressure_pa * ratio / (0.621945 + ratio);

-- Thermodynamic wet bulb, ASHRAE 2017 chapter 1 eq. 33.
create or replace temp macro ratio_from_wet_bulb(temp_k, wet_bulb_k, pressure_pa) as
    (
        (2501.0 - 2.326 * (wet_bulb_k - 273.15))
        * humidity_ratio(saturation_vapor_pressure_pa(wet_bulb_k), pressure_pa)
        - 1.006 * (temp_k - wet_bulb_k)
    ) / (2501.0 + 1.86 * (temp_k - 273.15) - 4.186 * (wet_bulb_k - 273.15));

create or replace temp macro vapor_from_wet_bulb_pa(temp_k, wet_bulb_k, pressure_pa) as
    vapor_from_ratio_pa(ratio_from_wet_bulb(temp_k, wet_bulb_k, pressure_pa), pressure_pa);

-- The simple mix, dry air and vapor as ideal gases: 1/287.05287, and 1/287.05287 - 1/461.523.
create or replace temp macro density_simple(temp_k, pressure_pa, vapor_pa) as
    (0.0034836788080188853 * pressure_pa - 0.0013169395555872624 * vapor_pa) / temp_k;

-- Standard atmosphere: 288.15 K / 0.0065 K/m, exponent 1/(g/(R L) - 1), and 1.225 kg/m3 taken in.
create or replace temp macro density_altitude_m(density) as
    44330.769230769234 - 42266.47359580004 * pow(density, 0.23496904142169958);

create or replace temp macro station_from_altimeter_pa(altimeter_pa, elevation_m) as
    pow(
        pow(altimeter_pa, 0.1902631025885496) - 0.00020216124620155113 * elevation_m,
        5.255879812716677
    );

-- SAE J607: 29.92 inHg x sqrt(1.8 / 519.67) in one constant; SAE J1349: 1.180 x 99 000 / sqrt(298).
create or replace temp macro j607(dry_pa, temp_k) as
    5963.082491356148 * sqrt(temp_k) / dry_pa;

create or replace temp macro j1349(dry_pa, temp_k) as
    6767.200902418316 * sqrt(temp_k - 0.15) / dry_pa - 0.18;
