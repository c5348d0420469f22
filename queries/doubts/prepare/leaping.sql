-- Purpose: the readings that leap away from those beside them, from the other of their day or from the usual ones, with what was
--          to be expected and the room they have: six tenths of the way are enough here.
-- Grain: one row per reading. Key: file, sheet, row, column.
-- Reads: air_cells, findings, given_venues, standard_of, typed_weather
create or replace temp table leaping as
-- What was typed once may stand in several tables.
with cells as (
    select distinct on (venue, file, row, "column", read_at, value) *
    from air_cells
    order by reading_id
),

allowed ("column", least, an_hour) as (
    values ('air_temp_degf', 14.0, 3.0), ('pressure_inhg', 0.25, 0.05), ('humidity_pct', 38.0, 5.0), ('dew_point_degf', 16.0, 3.0),
    ('track_temp_degf', 20.0, 9.0)
),

-- A pressure under question as of the other kind stands beside no other, unless most of its day are.
asked_kind as (
    select distinct file, sheet, row from findings where "column" = 'pressure_kind'
),

lone_kind as (
    select file, sheet, row
    from (
        select
            w.file, w.sheet, w.row, a.row is not null as is_asked,
            avg((a.row is not null)::int) over (partition by w.venue, w.read_at::date) as part
        from typed_weather as w
        left join asked_kind as a using (file, sheet, row)
    )
    where is_asked and part <= 0.5
),

units as (
    select file, sheet, "column", any_value(factor) as factor, any_value(shift) as shift
    from sheet_columns
    where factor is not null
    group by all
),

standards as (
    select venue as strip, standard_of(elevation_ft) as standard
    from given_venues
    where elevation_ft is not null
),

beside as (
    select
        c.*, coalesce(u.factor, 1) as factor, coalesce(u.shift, 0) as shift, a.least, a.an_hour, s.standard,
        lag(value) over along as before, lead(value) over along as after,
        lag(value, 2) over along as before_2, lead(value, 2) over along as after_2,
        median(value) over strip as strip_usual, count(*) over strip as of_strip,
        median(value) over everywhere as book_usual,
        quantile_cont(value - s.standard, [0.25, 0.5, 0.75]) over everywhere as above_standard,
        count(s.standard) over everywhere as of_book,
        median(value) over a_day as day_usual, count(*) over a_day as of_day, row_number() over along as place, epoch(read_at - lag(read_at) over along) / 3600 as hours_before,
        epoch(lead(read_at) over along - read_at) / 3600 as hours_after
    from cells as c
    join allowed as a using ("column")
    left join units as u using (file, sheet, "column")
    left join standards as s on s.strip = c.venue and c."column" = 'pressure_inhg'
    where (file, sheet, row, "column") not in (select (file, sheet, row, "column") from findings)
        and (file, sheet, row) not in (select (file, sheet, row) from findings where "column" = 'date')
        and (file, sheet, row) not in (select (file, sheet, row) from lone_kind)
    window along as (partition by venue, "column", read_at::date order by read_at, reading_id),
        a_day as (partition by venue, "column", read_at::date), strip as (partition by venue, "column"), everywhere as (partition by "column")
),

-- Of a pressure that stands twice, what lies beyond is beside it; what is usual is the strip's own where it has enough.
spread_out as (
    select
        * replace (
            if("column" = 'pressure_inhg' and abs(value - before) < 0.1 * least and after is not null, coalesce(before_2, before), before) as before,
            if("column" = 'pressure_inhg' and abs(value - after) < 0.1 * least and before is not null, coalesce(after_2, after), after) as after
        ),
        case
            when "column" <> 'pressure_inhg' then book_usual
            when of_strip >= 4 then strip_usual
            when of_book >= 5 and above_standard[3] - above_standard[1] < 0.35 then standard + above_standard[2]
        end as usual
    from beside
),

-- On a day of one or two readings the usual tells which of them is wrong.
lonely as (
    select
        *,
        before_2 is null and after_2 is null and (before is null or after is null) and usual is not null
        and reading_id not in (select reading_id from typed_weather where pressure_kind = 'altimeter') as is_lonely,
        coalesce(before, after) as other
    from spread_out
),

judged as (
    select
        *,
        case
            when is_lonely then coalesce(other, usual)
            when before is not null and after is not null then before + (after - before) * hours_before / greatest(hours_before + hours_after, 0.01)
            when before is null then after
            else before
        end as expected,
        case
            when is_lonely and other is null then if("column" = 'pressure_inhg', 0.6, null)
            when is_lonely
                then if(abs(value - usual) >= abs(other - usual), if("column" = 'pressure_inhg', 1.6 * least, 2 * least), null)
            when before is not null and after is not null
                then least + 0.6 * abs(after - before) + an_hour * least(hours_before, hours_after)
            when before is null and abs(after - after_2) < least then 1.2 * least + 1.2 * an_hour * hours_after
            when after is null and abs(before - before_2) < least then 1.2 * least + 1.2 * an_hour * hours_before
        end as room
    from lonely
)

select *
from judged
where abs(value - expected) > 0.6 * room;
