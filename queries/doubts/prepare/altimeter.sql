-- Purpose: pressure at a strip from an altimeter setting, and that of the standard atmosphere there [inHg].
--          P = (A^n - p0^n L h / T0)^(1/n), n = 0.1902631, p0 29.9213 inHg, L h / T0 = 6.8756e-6 a foot
--          (ISO 2533:1975, section 2).
-- Grain: scalar macros. Key: none.
-- Makes: station_of, standard_of
create or replace temp macro station_of(altimeter_inhg, elevation_ft) as
greatest(altimeter_inhg ** 0.1902631 - 29.9213 ** 0.1902631 * 6.8756e-6 * elevation_ft, 0.1) ** (1 / 0.1902631);

create or replace temp macro standard_of(elevation_ft) as station_of(29.9213, elevation_ft);
