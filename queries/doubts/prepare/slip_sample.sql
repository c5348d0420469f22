-- Purpose: the slips from which each car's usual values are taken: all of them, or by lot one in n of a great
--          store (but some twenty a car), where more would cost time and add nothing. What no slip can hold is no one's usual,
--          even where a person always leaves out the decimal point.
-- Grain: one row per slip. Key: slip_id.
-- Reads: typed_timeslips
create or replace temp table slip_sample as
with step as (
    select greatest(1, least(count(*) // 60000, count(*) // nullif(20 * count(distinct car), 0)))::ubigint as every
    from typed_timeslips
)

select
    slip_id, car, reaction_s,
{% for number in timeslips.of_role('ticket') %}
    if({{ number.name }} between {{ number.low }} and {{ number.high }}, {{ number.name }}, null) as {{ number.name }},
{% endfor %}
    outcome, lifted_after_ft,
    {{ adjustments | listed }}
from typed_timeslips
where hash(slip_id) % (select every from step) = 0
    and (outcome is null or outcome in ('clean', 'red light', 'spun', 'bogged'));
