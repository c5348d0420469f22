-- Purpose: which splits of each run count, and in words why one does not.
-- Grain: one row per slip. Key: slip_id.
-- Left out by cause, never by result: spun, bogged and red-light runs stay in. Where a driver lifted or the
-- car broke is on the slip, or else: a missed shift comes after 60 ft, a lift after 330 ft, and an abort or
-- a break may have come at the start.
-- Reads: setup_at_run
create or replace temp table use_of_splits as
with causes as (
    select
        slips.slip_id,
        slips.outcome,
        slips.t60_s,
        slips.t330_s,
        coalesce(slips.questioned, []) as on_slip,
        coalesce(setup.questioned, []) as in_doubt,
        list_sort(
            list_distinct(
                list_concat(
                    list_transform(
                        coalesce(slips.questioned, []), lambda name: regexp_replace(name, '^extra:', '')
                    ),
                    coalesce(setup.questioned, [])
                )
            )
        ) as questioned,
        case slips.outcome
            when 'missed shift' then coalesce(slips.lifted_after_ft, 60)
            when 'lifted' then coalesce(slips.lifted_after_ft, 330)
            when 'aborted' then coalesce(slips.lifted_after_ft, 0)
            when 'broke' then coalesce(slips.lifted_after_ft, 0)
            else 1320
        end as good_to_ft,
        case
            when list_contains(slips.questioned, 'car') then 'car under question'
            when slips.car is null then 'car is not known'
            when list_contains(slips.questioned, 'run_at') then 'date or time under question'
            when slips.run_at is null then 'date is not known'
        end as unplaced
    from timeslips as slips
    left join setup_at_run as setup using (slip_id)
),

reasons as (
    select
        *,
        list_filter(
            [
                unplaced,
                case when list_contains(on_slip, 'outcome') then 'outcome under question' end,
{% for factor in adjustments %}
                case when list_contains(in_doubt, '{{ factor.column }}') then '{{ factor.label }} under question' end,
{% endfor %}
                case
                    when len(list_filter(in_doubt, lambda name: name not in ({{ adjustments | quoted }}))) > 0
                        then 'another adjustment under question'
                end
            ],
            lambda reason: reason is not null
        ) as for_all,
        case
            when good_to_ft < 60 then outcome || ', not known where: no split counts'
            when good_to_ft < 330 then outcome || ' after ' || good_to_ft || ' ft: later splits do not count'
        end as for_outcome,
        case
            when list_contains(on_slip, 't60_s') then '60 ft time under question'
            when t60_s is null then 'no 60 ft time'
        end as for_t60,
        case
            when list_contains(on_slip, 't330_s') then '330 ft time under question'
            when t330_s is null then 'no 330 ft time'
        end as for_t330
    from causes
)

select
    slip_id,
    questioned,
    len(for_all) = 0 and good_to_ft >= 60 and t60_s is not null as use_t60,
    len(for_all) = 0 and good_to_ft >= 330 and t60_s is not null and t330_s > t60_s as use_t60_330,
    len(for_all) = 0 and good_to_ft >= 330 and t330_s is not null as use_t330,
    nullif(
        array_to_string(
            list_filter(
                list_concat(for_all, [for_outcome, for_t60, for_t330]),
                lambda reason: reason is not null
            ),
            '; '
        ),
        ''
    ) as left_out_reason
from reasons;
