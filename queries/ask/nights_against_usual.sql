-- Question: which nights were quicker or slower than the settings and the air explain?
-- Grain: one row per car and event, for the 60 ft time.
select
    car,
    event,
    "date",
    runs,
    round(1000 * night_s, 1) as thousandths_from_usual,
    round(1000 * night_low_s, 1) as low,
    round(1000 * night_high_s, 1) as high
from nights
where response = 't60'
order by car, "date", event;
