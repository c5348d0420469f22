-- Purpose: how the t-weights of a car's runs came out, for the variance of what is estimated with them:
--   squares of weight times residual [s^2], and the slope of weight times residual, (d/dz) z 5 / (4 + z^2)
--   = 5 (4 - z^2) / (4 + z^2)^2.
-- Grain: one row per car.
-- Key: car_no.
select
    car_no,
    sum(25.0 * residual * residual / power(4.0 + power(residual / noise, 2), 2)) as squares,
    sum(5.0 * (4.0 - power(residual / noise, 2)) / power(4.0 + power(residual / noise, 2), 2)) as slope
from fleet_residuals
group by car_no;
