-- Purpose: the advice a car was given, in order. Grain: as given_advice.
select
    given_on,
    after_run_at,
    stay,
    settings,
    expected_s,
    gain_s,
    p_better,
    track_temp_degf,
    air_density_kg_per_m3
from given_advice
where car = $car
order by after_run_at;
