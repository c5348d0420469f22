-- Purpose: numbers that stand for a car, and for a car at an event, by this engine's own hash.
-- Grain: none.
-- Key: none.
create or replace temp macro car_key(car) as cast(hash(car) >> 1 as bigint);
create or replace temp macro event_key_of(car, event) as cast(hash(car, event) >> 1 as bigint);
