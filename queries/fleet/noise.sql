-- Purpose: a car's spread round the middles of its events, by the mean of the root of the distance, which a
--   few wild runs can hardly move: for a normal, (mean of root |e| / 0.822179)^2 = sd, with
--   0.822179 = 2^(1/4) gamma(3/4) / sqrt(pi); 0.831 of it is the scale of a t with nu = 4. At least 0.5 ms.
-- Grain: one row per car.
-- Key: car_no.
create or replace temp table fleet_noise as
select
    run.car_no,
    greatest(0.831 * power(avg(sqrt(abs(run.seconds - middles.middle))) / 0.822179, 2), 0.0005) as noise
from fleet_rows as run
inner join fleet_middles as middles on run.car_no = middles.car_no and run.event_key = middles.event_key
group by run.car_no;
