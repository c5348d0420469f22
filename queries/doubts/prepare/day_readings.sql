-- Purpose: other days that a day as written may have meant (day and month swapped, another year of this
--          logbook), and how badly each fits: out of order with most of the days beside it 1.5, known to no other sheet 1 (1.5 for a
--          reading or a lone run, which are made where others are), months
--          away from every other day 1.5; a year far from all others 1.5, with two of its figures exchanged 1 more.
-- Grain: one row per day of a sheet and better reading of it. Key: kind, file, sheet, day.
-- Reads: days
create or replace temp table day_readings as
with counted as (
    select year("day") as other_year, count(*) as times from days group by all
),

-- One day with another year is no year of this logbook, unless no year has more.
well_known as (
    select other_year from counted where times >= 0.2 * (select max(times) from counted)
),

years as (
    select other_year from well_known
    union
    select max(other_year) + 1 from well_known
),

-- Of two days the one with more entries is the one that was meant.
known as (
    select "day", sum(entries) as times from days group by "day"
),

-- Hundred-day stretches with their neighbours: 'near' means within the stretch or one beside it.
near as (
    select stretch, sum(days_in) as days_near
    from (
        select (("day" - date '1950-01-01') // 100) + side as stretch, count(*) as days_in
        from known, (values (-1), (0), (1)) as sides (side)
        group by all
    )
    group by stretch
),

possible as (
    select kind, file, sheet, "day", 'as written' as rule, "day" as meant from days
    union all
    select kind, file, sheet, "day", 'day_and_month_swapped', make_date(year("day"), day("day"), month("day"))
    from days
    where day("day") <= 12 and day("day") <> month("day")
    union all
    select kind, file, sheet, "day", 'wrong_year', make_date(other_year, month("day"), day("day"))
    from days, years
    where other_year <> year("day") and not (month("day") = 2 and day("day") = 29)
),

-- Years far from those of most days are no season of their own.
odd_years as (
    select one.other_year as year_of
    from (select other_year, sum(times) as times from counted group by other_year) as one
    join (select other_year, sum(times) as times from counted group by other_year) as other
        on (one.other_year <> other.other_year and 2 * one.times <= other.times)
            or (one.other_year > other.other_year + 10 and one.times <= other.times)
    group by one.other_year
    having min(abs(one.other_year - other.other_year)) > 2
),

-- Two figures of a year exchanged give one far from all others: 2062.
exchanged as (
    select odd_years.year_of
    from odd_years, well_known
    where list_sort(string_split(year_of::varchar, '')) = list_sort(string_split(other_year::varchar, ''))
),

judged as (
    select
        p.*, coalesce(k.times, 0) as times_known, d.others, d.entries, d.first_entry, d.last_entry, d.day_before, d.day_after,
        1.5 * coalesce(
            d.is_in_order
            and 2 * (
                len(list_filter(d.days_before, lambda other: other > p.meant))
                + len(list_filter(d.days_after, lambda other: other < p.meant))
            ) > greatest(len(d.days_before), len(d.days_after)),
            false
        )::int as disorder,
        if(
            p.rule = 'as written' and not d.is_whole_day and (p.kind in ('weather', 'track') or (p.kind = 'timeslips' and d.entries = 1)),
            1.5, 1
        ) * (case
            when p.rule = 'as written' then d.others = 0 and not d.is_whole_day
            else coalesce(k.times, 0) < own_day.times
        end)::int as unknown,
        1.5 * (
            coalesce(near.days_near, 0) <= (
                abs((p.meant - date '1950-01-01') // 100 - (p."day" - date '1950-01-01') // 100) <= 1
            )::int
        )::int as remote
    from possible as p
    join days as d using (kind, file, sheet, "day")
    join known as own_day on own_day."day" = p."day"
    left join known as k on k."day" = p.meant
    left join near on near.stretch = (p.meant - date '1950-01-01') // 100
    where d.others = 0 or p.rule = 'as written'
),

own as (
    select
        kind, file, sheet, "day", disorder,
        disorder + unknown + remote + 1.5 * (year("day") in (select year_of from odd_years))::int
        + (year("day") in (select year_of from exchanged))::int as badness
    from judged
    where rule = 'as written'
)

select j.kind, j.file, j.sheet, j."day", j.rule, j.meant, own.badness - (j.disorder + unknown + remote) as gain
from judged as j
join own using (kind, file, sheet, "day")
where j.rule <> 'as written' and j.disorder = 0
    -- A day of several runs that stands in order is another season's, unless another sheet knows the day.
    and (
        j.rule <> 'wrong_year' or own.disorder > 0 or j.entries < 3 or j.times_known > 0
        or year(j."day") in (select year_of from odd_years)
    )
    and own.badness - (unknown + remote) >= 1.5
qualify row_number() over (
    partition by j.kind, j.file, j.sheet, j."day"
    order by
        gain desc, list_sort(string_split(year(j.meant)::varchar, '')) <> list_sort(string_split(year(j."day")::varchar, '')),
        abs(j.meant - coalesce(j.day_before, j.day_after, j.meant)), j.meant
) = 1;
