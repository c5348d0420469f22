-- Purpose: put one car's limits down.
-- Grain: one row. Key: car.
insert into given_limits
values (
    $car, $low_rpm, $high_rpm, $safe_turns, $levers, $screws, $low_g, $high_g, $low_psi, $high_psi, $ring_new_in
);
