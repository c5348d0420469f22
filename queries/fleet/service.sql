-- Purpose: cars whose clutch has grown to $share of its service growth or more, by the latest run that says.
-- Grain: one row per such car.
-- Key: car.
-- Parameter: $share.
select
    car,
    worn_in,
    service_growth_in
from fleet_cars
where worn_in >= $share * service_growth_in
order by worn_in / service_growth_in desc, car;
