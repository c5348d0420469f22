-- Purpose: settings written on slips that lie outside a limit or far from the car's own, to be looked at.
-- Grain: one row per slip and setting. Key: slip_id, column.
-- Reads: given_limits, slip_usual, typed_timeslips
-- Needs: typed_timeslips
create or replace temp table slip_settings as
with limits as (
    select
        car,
{% for factor in adjustments %}
        max(low) filter ("column" = '{{ factor.column }}') as low_{{ factor.name }},
        max(high) filter ("column" = '{{ factor.column }}') as high_{{ factor.name }}{{ ',' if not loop.last }}
{% endfor %}
    from given_limits
    group by car
),

habits as (
    select u.car, columns('^[mw]_({{ adjustments | join('|', attribute='name') }})$'), l.* exclude (car)
    from slip_usual as u
    left join limits as l using (car)
),

odd as (
    select s.slip_id, s.file, s.sheet, s.row, s.car, {{ adjustments | listed }}, h.* exclude (car)
    from typed_timeslips as s
    join habits as h on h.car is not distinct from s.car
    where
        counterweight_g < 0
        or counterweight_g >= 3.5 * greatest(m_counterweight, 0.5)
        or (counterweight_g > 0 and counterweight_g * 3.5 <= m_counterweight)
{% for factor in adjustments %}
{% set kind = columns.timeslips[factor.column] %}
        or {{ factor.column }} not between coalesce(low_{{ factor.name }} * {{ 1 - factor.slack_low }}, {{ kind.low }})
            and coalesce(high_{{ factor.name }} * {{ 1 + factor.slack_high }}, {{ kind.high }})
{% if factor.far %}
        or abs({{ factor.column }} - m_{{ factor.name }}) > 6 * greatest(w_{{ factor.name }}, {{ factor.far / 10 }})
{% endif %}
{% endfor %}
)

select
    slip_id, file, sheet, row, car,
    unnest([{{ adjustments | quoted }}]) as "column",
    unnest([{{ adjustments | listed }}]) as value,
    unnest([{% for factor in adjustments %}m_{{ factor.name }}{{ ', ' if not loop.last }}{% endfor %}]) as usual,
    unnest([
{% for factor in adjustments %}
        greatest(w_{{ factor.name }}, {{ factor.far / 10 }}){{ ',' if not loop.last }}
{% endfor %}
    ]) as width
from odd;
