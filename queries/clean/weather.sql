-- Purpose: the weather to work with: what is under question is null and named in questioned, answers
-- are applied, and rows rejected, merged or left out are gone.
-- While it is asked of which kind a pressure is, the pressure is not used either.
-- Grain: one row per weather reading. Key: reading_id.
create or replace view weather as
select
    typed.reading_id,
    typed.file,
    typed.sheet,
    typed."row",
    settled_text('venue', typed.venue, marks.questioned, marks.words) as venue,
    case
        when marks."row" is null then typed.read_at
        when list_contains(marks.questioned, 'read_at') then null
        when marks."day" is null and marks.clock_s is null then typed.read_at
        else coalesce(marks."day", typed.read_at::date)
            + coalesce(to_seconds(coalesce(marks.clock_s, typed.clock_s)), to_seconds(43200))
    end as read_at,
    settled_number('air_temp_degf', typed.air_temp_degf, marks.questioned, marks.numbers) as air_temp_degf,
    case
        when coalesce(list_contains(marks.questioned, 'pressure_kind'), false) then null
        else settled_number('pressure_inhg', typed.pressure_inhg, marks.questioned, marks.numbers)
    end as pressure_inhg,
    settled_text('pressure_kind', typed.pressure_kind, marks.questioned, marks.words) as pressure_kind,
    settled_number('humidity_pct', typed.humidity_pct, marks.questioned, marks.numbers) as humidity_pct,
    settled_number('dew_point_degf', typed.dew_point_degf, marks.questioned, marks.numbers) as dew_point_degf,
    settled_number('wet_bulb_degf', typed.wet_bulb_degf, marks.questioned, marks.numbers) as wet_bulb_degf,
    settled_number('grains', typed.grains, marks.questioned, marks.numbers) as grains,
    settled_number('wind_speed_mph', typed.wind_speed_mph, marks.questioned, marks.numbers) as wind_speed_mph,
    settled_text('wind_from', typed.wind_from, marks.questioned, marks.words) as wind_from,
    settled_text('notes', typed.notes, marks.questioned, marks.words) as notes,
    coalesce(marks.questioned, []::varchar[]) as questioned
from typed_weather as typed
left join row_marks as marks
    on typed.file = marks.file and typed.sheet = marks.sheet and typed."row" = marks."row"
where not coalesce(marks.is_out, false);
