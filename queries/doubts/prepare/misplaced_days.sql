-- Purpose: stretches of rows under one day that lies outside the days above and below, in a sheet whose days
--          otherwise stand in order, where another month, another year, or one digit of the day above or below (or of the
--          one beside it) puts it between them. A day in order is such too, where it has one row only, falls on a day of
--          the week as no other of its file, and would be the day above or below in another month. At the start or end of a
--          sheet it is the day beside it, where both are at one strip; else the nearest month in which it is in order.
-- Grain: one row per row of a sheet. Key: kind, file, sheet, row.
-- Reads: typed_checks, typed_setups, typed_timeslips, typed_track, typed_weather
create or replace temp table misplaced_days as
with found as (
{% for table in sheets %}
    select '{{ table.name }}' as kind, file, sheet, row, {{ table.moment }}::date as "day", {{ table.key }} as entry,
        {{ 'venue' if table.has('venue') else 'null::varchar' }} as venue
    from typed_{{ table.name }}
    -- What lines between the rows tell has its day from these.
    where {{ table.moment }} is not null and not regexp_matches(sheet, '(^|, )lines, ')
    {{ 'union all' if not loop.last }}
{% endfor %}
),

-- A sheet of a few days goes on with the next of its file.
dated as (
    select
        * exclude (sheet), sheet as own_sheet,
        if(count(distinct "day") over (partition by kind, file, sheet) >= 4, sheet, '') as sheet
    from found
),

changes as (
    select *, ("day" is distinct from lag("day") over in_sheet)::int as is_new
    from dated
    window in_sheet as (partition by kind, file, sheet order by entry)
),

counted as (
    select *, sum(is_new) over (partition by kind, file, sheet order by entry) as stretch from changes
),

stretches as (
    select kind, file, sheet, stretch, any_value("day") as "day", any_value(venue) as venue, count(distinct row) as entries from counted group by all
),

weekdays as (
    select kind, file, sheet, isodow("day") as weekday, count(distinct "day") as days
    from dated
    group by all
),

beside as (
    select
        *, lag("day") over in_sheet as above, lead("day") over in_sheet as below,
        coalesce(venue <> coalesce(lag(venue) over in_sheet, lead(venue) over in_sheet), false) as is_elsewhere
    from stretches
    window in_sheet as (partition by kind, file, sheet order by stretch)
),

sheets as (
    select kind, file, sheet, if(sum(sign("day" - above)) >= 0, 1, -1) as direction
    from beside
    group by kind, file, sheet
    having
        count(above) >= 3
        and least(count(*) filter (above > "day"), count(*) filter (above < "day")) <= greatest(1, 0.34 * count(above))
),

turned as (
    select b.* exclude (above, below), if(direction = 1, above, below) as before, if(direction = 1, below, above) as after
    from beside as b
    join sheets using (kind, file, sheet)
),

odd as (
    select *
    from turned
    where coalesce(before <= after, true) and (
        "day" < before or "day" > after
        or (
            entries = 1 and (day("day") = day(before) or day("day") = day(after)) and "day" not in (before, after)
            and (kind, file, sheet, isodow("day")) in (select (kind, file, sheet, weekday) from weekdays where days = 1)
            and (kind, file, sheet) in (select (kind, file, sheet) from weekdays group by all having max(days) >= 4)
        )
    )
),

mended as (
    select
        *,
        list_distinct(list_filter(
            list_concat(
                list_transform(
                    range(1, 13),
                    lambda other: try_cast(year("day") || '-' || other || '-' || day("day") as date)
                ),
                list_transform(
                    [year(before), year(after)],
                    lambda other: try_cast(other || '-' || month("day") || '-' || day("day") as date)
                ),
                list_filter([before, after, before + 1, after - 1], lambda other: hamming(other::varchar, "day"::varchar) = 1)
            ),
            lambda meant: meant <> "day" and case
                when before is not null and after is not null then meant between before and after
                when year(meant) <> year("day") then coalesce(meant >= before, meant <= after)
                when is_elsewhere then coalesce(meant > before, meant < after)
                else meant - coalesce(before, after) in (0, if(before is null, -1, 1))
            end
        )) as possible
    from odd
),

weighed as (
    select
        m.kind, m.file, m.sheet, m.stretch, m."day", m.before, each.meant,
        coalesce((each.meant in (m.before, m.after))::int, 0) as is_same, coalesce((m.before = m.after)::int, 0) as is_parted,
        coalesce((least(each.meant - before, after - each.meant) <= 1)::int, 0) as is_beside,
        coalesce(w.days, 0) as days_like_it, coalesce(own.days, 1) - 1 as days_like_own,
        if(m.is_elsewhere and (m.before is null or m.after is null), abs(each.meant - coalesce(m.before, m.after)), 0) as away
    from mended as m, unnest(m.possible) as each (meant)
    left join weekdays as w
        on (w.kind, w.file, w.sheet, w.weekday) = (m.kind, m.file, m.sheet, isodow(each.meant))
    left join weekdays as own
        on (own.kind, own.file, own.sheet, own.weekday) = (m.kind, m.file, m.sheet, isodow(m."day"))
),

-- Of several the day above or below, or the one beside it, on a weekday on which meets are: a meet lasts a day or two.
ranked as (
    select
        *,
        rank() over (partition by kind, file, sheet, stretch order by is_same desc, days_like_it > 0 desc, is_beside desc, days_like_it desc, away) as place,
        days_like_it - days_like_own + 100 * is_same * is_parted as gain
    from weighed
),

chosen as (
    select
        kind, file, sheet, stretch, any_value("day") as "day", any_value(before) as before, max(gain) as gain,
        if(count(*) = 1, any_value(meant), null) as meant
    from ranked
    where place = 1
    group by kind, file, sheet, stretch
)

-- Of two stretches beside each other one is wrong: that which parts a day from itself, else that which gains more.
select
    c.kind, c.file, c.own_sheet as sheet, c.row, c."day", m.meant, m.gain >= 100 as is_parted,
    if(year(coalesce(m.meant, m.before, c."day")) <> year(c."day"), 'wrong_year', 'wrong_month') as rule
from chosen as m
join counted as c using (kind, file, sheet, stretch)
where not exists (
    from chosen as other
    where (other.kind, other.file, other.sheet) = (m.kind, m.file, m.sheet)
        and abs(other.stretch - m.stretch) = 1 and other.gain > m.gain
);
