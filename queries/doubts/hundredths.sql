-- Reason: two decimals where this sheet writes three: the last digit was dropped. Asked only where the
--         sheet shows that it keeps a last 0 (a workbook's numbers do not), or where a whole slip has two decimals.
-- Severity: questioned. Suggests: the same time with a 0, good to a hundredth only.
-- Reads: typed_timeslips
-- Yields to: does_not_fit
insert into findings
with sheets as (
    select
        file, sheet,
        avg((short_splits > 0)::int) as short_share,
        count(*) filter (round(t60_s * 1000)::bigint % 10 = 0 and short_splits & 1 = 0)
        + count(*) filter (round(t330_s * 1000)::bigint % 10 = 0 and short_splits & 2 = 0)
        + count(*) filter (round(t660_s * 1000)::bigint % 10 = 0 and short_splits & 4 = 0) as kept_zeros,
        sum(bit_count(short_splits & 7)) as short_cells
    from typed_timeslips
    where (file, sheet) in (select (file, sheet) from typed_timeslips where short_splits > 0)
    group by file, sheet
),

short as (
    select s.*, h.kept_zeros
    from typed_timeslips as s
    join sheets as h using (file, sheet)
    where s.short_splits > 0 and h.short_share between 0.0000001 and 0.25
        and ((h.kept_zeros > 0 and h.kept_zeros >= h.short_cells) or bit_count(s.short_splits) >= 3)
),

cells as (
    select
        file, sheet, row, short_splits,
        unnest(['t60_s', 't330_s', 't660_s', 't1000_s', 't1320_s']) as "column",
        unnest([1, 2, 4, 8, 16]) as bit,
        unnest([t60_s, t330_s, t660_s, t1000_s, t1320_s]) as value
    from short
)

select
    file, sheet, row, "column", printf('%.2f', value), 'Only hundredths here, where this sheet has thousandths.',
    printf('%.3f', value), 'questioned', 'hundredths'
from cells
where short_splits & bit > 0 and value <= {{ columns.timeslips.t1320_s.high }};
