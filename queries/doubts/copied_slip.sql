-- Reason: a slip that repeats every number of another run of the car, at another time or with another reaction:
--         no two runs are alike to the thousandth in four numbers, of which the reaction may be one (in three they may
--         be, and in hundredths only one right after the other is asked about, where the reaction or both speeds may be the fourth). The later one is asked
--         about, wherever it stands.
--         Rows set aside as the same run typed twice are not asked about.
-- Severity: questioned. Suggests: to leave the row out.
-- Reads: doubles, typed_timeslips
-- Needs: typed_timeslips
-- Yields to: doubles_differ
insert into findings
with whole as (
    select
        slip_id, car, has_time, run_at, reaction_s, short_splits,
        (t60_s is not null)::int + (t330_s is not null)::int + (t660_s is not null)::int
        + (v660_mph is not null)::int + (t1320_s is not null)::int + (v1320_mph is not null)::int as written,
        row_number() over (partition by car order by run_at, slip_id) as turn,
        2 * ((t60_s is not null)::int + (t330_s is not null)::int + (t660_s is not null)::int + (t1320_s is not null)::int)
        - bit_count(short_splits & 23) + (v660_mph is not null and v1320_mph is not null)::int as told,
        hash(car, t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph) as numbers
    from typed_timeslips
    where written >= 3
),

alike as (
    select
        numbers, arg_min(slip_id, turn) as first_id, min(turn) as first_turn, arg_min(run_at::date, turn) as first_day,
        arg_min(reaction_s, turn) as first_reaction
    from whole
    group by numbers
    having count(*) > 1
)

select
    b.file, b.sheet, b.row,
    if(b.has_time and b.run_at is distinct from a.run_at or b.reaction_s is null, if(b.has_time, 'time', 'date'), 'reaction_s'),
    null,
    'Every time and speed of row ' || a.row || if(a.file = b.file, '', ' of ' || a.file) || ' stands here again ('
    || coalesce(if(a.has_time, strftime(a.run_at, '%Y-%m-%d %H:%M'), strftime(a.run_at, '%Y-%m-%d')), 'without a date')
    || ' there). Leave this row out, or put its own numbers in.',
    'leave out row', 'questioned', 'copied_slip'
from alike
join whole as w
    on w.numbers = alike.numbers and w.slip_id <> alike.first_id
    and (
        (w.short_splits = 0 and (w.written >= 4 or w.reaction_s = alike.first_reaction))
        or (
            w.written >= 4 and abs(w.turn - alike.first_turn) = 1 and w.run_at::date = alike.first_day
            and w.told + 2 * coalesce(w.reaction_s = alike.first_reaction, false)::int >= 4
        )
    )
join typed_timeslips as b on b.slip_id = w.slip_id
join typed_timeslips as a on a.slip_id = alike.first_id
anti join doubles as d on d.file = b.file and d.sheet = b.sheet and d.row = b.row
where a.car is not distinct from b.car;
