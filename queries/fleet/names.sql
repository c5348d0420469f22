-- Purpose: names of the cars by number.
-- Grain: one row per car.
-- Key: car_no.
select car_no, car
from fleet_cars
order by car_no;
