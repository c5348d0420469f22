-- Purpose: when a part was put on new, by what notes say of it, as "new slicks" or "changed the disc".
-- Grain: one row per car, part (the column of runs that counts from it) and moment.
-- A clause that speaks of pressure or thickness, of what is wanted, or says not, is no such word. A part that
-- is called new again within three days is still the same one.
create or replace temp table parts_put_on as
with noted as (
    select car, run_at as moment, notes from timeslips
    union all
    select car, set_at, notes from setups
    union all
    select car, checked_at, notes from checks
),

clauses as (
    select
        car,
        moment,
        unnest(string_split_regex(lower(notes), '[.;,:!()\n]+| and | but | then ')) as clause
    from noted
    where car is not null and moment is not null and notes is not null
),

plain as (
    select *
    from clauses
    where not regexp_matches(
        clause,
        '\b(pressures?|psi|thickness|temps?|need\w*|want\w*|order\w*|next|soon|no|not|never|old|like|buy|should|maybe)\b|n.t\b|\?'
    )
),

told as (
{% for factor in counted %}
    select car, moment, '{{ factor.column }}' as part
    from plain
    where regexp_matches(
        clause,
        '\b(new|fresh|brand new|changed|swapped|replaced|mounted|fitted|put on|installed)( \w+){0,3} {{ factor.put_on_new }}\b'
        '|\b{{ factor.put_on_new }}( \w+){0,2} (new|fresh|changed|swapped|replaced|mounted|fitted|installed)\b'
    )
{% if not loop.last %}
    union all
{% endif %}
{% endfor %}
)

select distinct car, part, moment
from told
qualify lag(moment) over (partition by car, part order by moment) is null
    or moment - lag(moment) over (partition by car, part order by moment) > interval 3 days;
