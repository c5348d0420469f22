-- Reason: ring height only grows while the disc wears; it goes down when shims are taken out. Here it is
--         out of line with the check before and the one after, or fell with no shim written down.
-- The heights are written with four decimals where the car's are.
-- Severity: questioned. Suggests: the height with two digits put back when that lies between its
--           neighbours; the missing shim when the lower height lasts.
-- Reads: strayed_rows, swapped, typed_checks, written
-- Needs: typed_checks
insert into findings
with checks as (
    select
        *,
        if(
            bool_or(ring_heights_in is null and abs(ring_height_in - round(ring_height_in, 3)) > 0.00001)
                over (partition by car),
            4, 3
        ) as decimals,
        coalesce(shim_removed_in, 0) > 0 or coalesce(regexp_matches(lower(notes), 'shim|new disc|new clutch|rebuil|servic|freshen'), false)
            as is_service,
        lag(ring_height_in) over by_car as before_in,
        lead(ring_height_in) over by_car as after_in,
        lag(checked_at) over by_car as before_at,
        lead(coalesce(shim_removed_in, 0) > 0) over by_car as service_next
    from typed_checks
    where ring_height_in is not null
        and (file, sheet, row) not in (select (file, sheet, row) from strayed_rows)
    window by_car as (partition by car order by checked_at, check_id)
),

judged as (
    select
        *,
        coalesce(
            median(ring_height_in - before_in) filter (ring_height_in > before_in) over (partition by car), 0.003
        ) as growth_in,
        not is_service and not coalesce(service_next, false) and after_in >= before_in - 0.002
        and (ring_height_in < before_in - 0.003 or ring_height_in > after_in + 0.003) as is_out_of_line,
        not is_service and ring_height_in < before_in - 0.003
        and abs(ring_height_in - before_in) < 0.06 as is_lower,
        list_filter(
            list_concat(
                swapped(ring_height_in, decimals), [ring_height_in / 1000, ring_height_in / 10, ring_height_in / 100],
                list_transform(range(1, 10), lambda tenth: ring_height_in + tenth * 0.1),
                list_transform(range(1, 10), lambda tenth: ring_height_in - tenth * 0.1),
                list_transform(range(1, 10), lambda tenth: ring_height_in + tenth * 0.01),
                list_transform(range(1, 10), lambda tenth: ring_height_in - tenth * 0.01)
            ),
            lambda height: height between before_in - 0.001
            and if(service_next or coalesce(after_in, 0) < before_in, before_in + 0.012, after_in) + 0.001
        ) as readings
    from checks
),

explained as (
    select
        *,
        coalesce(is_out_of_line and (len(readings) > 0 or abs(ring_height_in - before_in) > 0.03), false) as is_sure,
        coalesce(not is_service and len(readings) > 0 and before_in - ring_height_in > 0.018, false) as is_far
    from judged
),

typed as (
    select *, is_sure or is_far as is_typo, lag(is_sure, 1, false) over by_car as after_typo
    from explained
    window by_car as (partition by car order by checked_at, check_id)
)

select
    file, sheet, row,
    if(is_typo, 'ring_height_in', 'shim_removed_in'),
    if(is_typo, written(ring_height_in, decimals), null),
    if(
        is_typo,
        'It does not lie between the checks before and after, and no service was written down.',
        'The ring height went down from ' || written(before_in, decimals) || ' to '
        || written(ring_height_in, decimals) || ' with no shim written down.'
    ),
    if(
        is_typo,
        if(len(readings) > 0, written(readings[1], decimals), null),
        printf('%.3f', greatest(round((before_in - ring_height_in + growth_in) / 0.005), 1) * 0.005)
    ),
    'questioned', 'ring_height_down'
from typed
where is_sure or ((is_far or is_lower) and not after_typo);
