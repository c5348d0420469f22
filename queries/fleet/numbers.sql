-- Purpose: what is known of each car besides its sums.
-- Grain: one row per car.
-- Key: car_no.
select
    car_no,
    car,
    clutch_type,
    runs,
    timed,
    cells_typed,
    cells_bad,
    worn_in,
    service_growth_in
from fleet_cars;
