-- Purpose: note one piece of advice in place of any given after the same run for like conditions. Grain: one row.
insert into given_advice by name
select
    $car as car,
    $given_on as given_on,
    $after_run_at as after_run_at,
    $stay as stay,
    $settings as settings,
    $expected_s as expected_s,
    $gain_s as gain_s,
    $p_better as p_better,
    $track_temp_degf as track_temp_degf,
    $air_density_kg_per_m3 as air_density_kg_per_m3,
    $venue as venue,
    $risk as risk;
