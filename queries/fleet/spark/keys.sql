-- Purpose: as ../keys.sql, in two statements.
-- Grain: none.
-- Key: none.
create or replace temporary function car_key(car string) returns bigint
return cast(conv(substr(md5(car), 1, 15), 16, 10) as bigint);

create or replace temporary function event_key_of(car string, event string) returns bigint
return xxhash64(car, event);
