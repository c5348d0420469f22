-- Purpose: numbers of slips that are no number as typed, or whose length is odd in their sheet: more decimals
--          than it has (a digit typed twice; in a sheet of hundredths one time of a slip alone), or fewer where it
--          shows that it keeps a last 0 (a workbook's numbers do not) or where a whole slip has fewer. What nearly every row does is the sheet's habit; of a
--          short sheet all sheets together tell.
-- Grain: one row per cell. Key: slip_id, column.
-- Reads: slip_columns, typed_timeslips, questions
create or replace temp table odd_slip_cells as
with counted as (
    select
        *,
{% for column in ('t60_s', 't330_s', 't660_s', 't1000_s', 't1320_s') %}
        {{ '+ ' if not loop.first }}coalesce((abs({{ column }} * 1e2 - round({{ column }} * 1e2)) > 1e-4)::int, 0)
{% endfor %}
        as in_thousandths,
        (t60_s is not null)::int + (t330_s is not null)::int + (t660_s is not null)::int + (t1000_s is not null)::int
        + (t1320_s is not null)::int as times
    from typed_timeslips
),

sheets as (
    select
        file, sheet, count(*) as slips,
        avg((short_splits > 0)::int) as short_share,
        count(*) filter (round(t60_s * 1000)::bigint % 10 = 0 and short_splits & 1 = 0)
        + count(*) filter (round(t330_s * 1000)::bigint % 10 = 0 and short_splits & 2 = 0)
        + count(*) filter (round(t660_s * 1000)::bigint % 10 = 0 and short_splits & 4 = 0) as kept_zeros,
        sum(bit_count(short_splits & 7)) as short_cells,
        avg(coalesce(
            abs(t60_s * 1e3 - round(t60_s * 1e3)) > 1e-4 or abs(t330_s * 1e3 - round(t330_s * 1e3)) > 1e-4
            or abs(t660_s * 1e3 - round(t660_s * 1e3)) > 1e-4 or abs(t1000_s * 1e3 - round(t1000_s * 1e3)) > 1e-4
            or abs(t1320_s * 1e3 - round(t1320_s * 1e3)) > 1e-4,
            false
        )::int) as long_times,
        avg(coalesce(
            abs(v660_mph * 1e2 - round(v660_mph * 1e2)) > 1e-4 or abs(v1320_mph * 1e2 - round(v1320_mph * 1e2)) > 1e-4,
            false
        )::int) as long_speeds,
        slips >= 8 and avg((in_thousandths > 0)::int) <= 0.1 as has_hundredths
    from counted
    group by file, sheet
),

judged as (
    select
        *,
        short_share between 0.0000001 and 0.25 as has_short,
        kept_zeros > 0 and kept_zeros >= short_cells and not regexp_matches(file, '(?i)\.(xlsx|ods)$') as keeps_zeros,
        long_times > 0 and least(
            long_times, if(long_times * slips < 2.5, sum(long_times * slips) over () / sum(slips) over (), 1)
        ) <= 0.1 as has_long_times,
        long_speeds > 0 and least(
            long_speeds, if(long_speeds * slips < 2.5, sum(long_speeds * slips) over () / sum(slips) over (), 1)
        ) <= 0.1 as has_long_speeds
    from sheets
),

cells as (
    unpivot (
        select
            s.slip_id, s.short_splits, s.t60_s, s.t330_s, s.t660_s, s.v660_mph, s.t1000_s, s.t1320_s, s.v1320_mph,
            j.has_short and s.short_splits > 0 and (keeps_zeros or bit_count(s.short_splits) >= 4) as may_be_short,
            has_long_times, has_long_speeds,
            has_hundredths and s.in_thousandths = 1 and s.times >= 3 as has_lone_thousandth
        from counted as s
        join judged as j using (file, sheet)
        where (has_short and s.short_splits > 0) or has_long_times or has_long_speeds
            or (has_hundredths and s.in_thousandths = 1)
    )
    on t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph
    into name "column" value value
),

lengths as (
    select
        slip_id, "column", value,
        case
            when
                may_be_short and value < 46
                and short_splits & case "column" when 't60_s' then 1 when 't330_s' then 2 when 't660_s' then 4 when 't1000_s' then 8 when 't1320_s' then 16 else 0 end > 0
                then 'short'
            when "column" like '%_s' and has_long_times and abs(value * 1e3 - round(value * 1e3)) > 1e-4 then 'long'
            when "column" like '%_s' and has_lone_thousandth and abs(value * 1e2 - round(value * 1e2)) > 1e-4 then 'long'
            when "column" like '%_mph' and has_long_speeds and abs(value * 1e2 - round(value * 1e2)) > 1e-4 then 'long'
        end as oddity
    from cells
)

select slip_id, "column", null::varchar as text, oddity
from lengths
where oddity is not null
union all
select s.slip_id, q."column", q.value, 'unreadable'
from questions as q
join typed_timeslips as s on s.file = q.file and s.sheet = q.sheet and s.row = q.row
where q.rule = 'unreadable' and q.severity <> 'doubt' and q."column" in (select "column" from slip_columns);
