-- Purpose: every guess as a whole slip, so that it can be judged like one; a change of one cell only when
--          the ties of that cell are then within five widths (the second look takes more, for two errors).
-- Grain: one row per suspect slip, rule and guess. Key: slip_id, rule, guess.
-- Reads: guessed_cells, slip_usual, suspects
create or replace temp table guesses as
with of_one_cell as (
    select
        s.* replace (
{% for number in timeslips.of_role('ticket') %}
            if(g."column" = '{{ number.name }}', g.value, {{ number.name }}) as {{ number.name }}{{ ',' if not loop.last }}
{% endfor %}
        ),
        g.rule, g.guess, g."column" as changed
    from guessed_cells as g
    join suspects as s using (slip_id)
    where g.rule in ('missing_decimal', 'swapped_digits', 'wrong_digit', 'does_not_fit')
),

changes as (
    select
        slip_id, rule, guess,
{% for number in timeslips.of_role('ticket') %}
        max(value) filter ("column" = '{{ number.name }}') as {{ number.name }},
        bool_or("column" = '{{ number.name }}') as to_{{ number.name }},
{% endfor %}
        bool_or("column" = 'reaction_s') as to_reaction_s
    from guessed_cells
    where rule not in ('missing_decimal', 'swapped_digits', 'wrong_digit', 'does_not_fit')
    group by slip_id, rule, guess
),

of_several_cells as (
    select
        s.* replace (
{% for number in timeslips.of_role('ticket') %}
            if(to_{{ number.name }}, c.{{ number.name }}, s.{{ number.name }}) as {{ number.name }},
{% endfor %}
            if(to_reaction_s, null, s.reaction_s) as reaction_s
        ),
        c.rule, c.guess, null as changed
    from changes as c
    join suspects as s using (slip_id)
),

every_guess as (
    select * from of_one_cell
    union all by name
    select * from of_several_cells
)

select
    g.* exclude (changed, misfit, worst, is_impossible, good_ft, car_runs, file, sheet, row, entry_order),
    g.misfit as misfit_before, g.is_impossible as was_impossible
from every_guess as g
join slip_usual as u on u.car is not distinct from g.car
where
    changed is null
    or (is_second and rule <> 'wrong_digit')
    or g.good_ft < 1320
    or coalesce(outcome in ('spun', 'bogged'), false)
    or coalesce(
        (
            changed not in ('t60_s', 't330_s')
            or abs(t330_s - t60_s - m_330 * t60_s) < 5 * w_330 * abs(t60_s)
        )
        and (
            changed not in ('t330_s', 't660_s')
            or abs(t660_s - t330_s - m_660 * (t330_s - t60_s)) < 5 * w_660 * abs(t330_s - t60_s)
        )
        and (
            changed not in ('t330_s', 't660_s', 'v660_mph')
            or abs(v660_mph * (t660_s - t330_s) - 225.0 * m_trap660) < 1125.0 * w_trap660
        )
        and (
            changed not in ('t660_s', 't1000_s')
            or abs(t1000_s - t660_s - m_1000 * (t660_s - t330_s)) < 5 * w_1000 * abs(t660_s - t330_s)
        )
        and (
            changed not in ('t1000_s', 't1320_s')
            or abs(t1320_s - t1000_s - m_1320 * (t1000_s - t660_s)) < 5 * w_1320 * abs(t1000_s - t660_s)
        )
        and (
            changed not in ('t1000_s', 't1320_s', 'v1320_mph')
            or abs(v1320_mph * (t1320_s - t1000_s) - 218.2 * m_trap1320) < 1091.0 * w_trap1320
        ),
        true
    );
