-- Purpose: the design rows of a few cars, to be fitted from the rows themselves.
-- Grain: one row per run.
-- Key: none.
select design.*
from fleet_design as design
inner join fleet_chosen as chosen on design.car_no = chosen.car_no
order by design.car_no, design.event_key;
