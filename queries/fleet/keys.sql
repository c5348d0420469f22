-- Purpose: numbers that stand for a car, and for a car at an event. A car's is the same on every engine, so that
--   all of them look at the same cars first; an event's is the engine's own.
-- Grain: none.
-- Key: none.
create or replace temp macro car_key(car) as cast('0x' || substr(md5(car), 1, 15) as bigint);
create or replace temp macro event_key_of(car, event) as cast(hash(car, event) >> 1 as bigint);
