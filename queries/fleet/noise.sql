-- Purpose: a car's run noise by the mean of the root of the residual's size, which a few wild runs can
--   hardly move: for a normal, (mean of root |e| / 0.822179)^2 = sd, and 0.822179 = 2^(1/4) gamma(3/4) / sqrt(pi).
-- Grain: one row per car.
-- Key: car_no.
select
    car_no,
    power(avg(sqrt(abs(residual))) / 0.822179, 2) as noise
from fleet_residuals
group by car_no;
