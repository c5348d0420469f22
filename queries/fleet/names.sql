-- Purpose: names of a batch of cars by number.
-- Grain: one row per car.
-- Key: car_no.
-- Parameters: $first, $last: numbers of the batch's first and last car.
select car_no, car
from fleet_cars
where car_no between $first and $last
order by car_no;
