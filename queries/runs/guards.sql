-- Purpose: macros that keep a number which is none, or one far outside nature, out of the runs.
-- Grain: none; these are temporary macros, made anew on each connection.
-- Makes: known, at_most_all, between_or_null
create or replace temp macro known(number) as
    case when isfinite(number) then number end;

-- Between two readings of saturated air the straight line passes a little above saturation.
create or replace temp macro at_most_all(percent) as
    case when percent > 100.0 then 100.0 else percent end;

create or replace temp macro between_or_null(number, low, high) as
    case when number between low and high then number end;
