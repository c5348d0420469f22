-- Purpose: note one piece of advice in place of any given after the same run. Grain: one row.
insert into given_advice
select
    $car,
    $given_on,
    $after_run_at,
    $stay,
    $settings,
    $expected_s,
    $gain_s,
    $p_better,
    $track_temp_degf,
    $air_density_kg_per_m3;
