-- Question: which readings, setups and checks did no run use, and why?
-- Grain: one row per row of those sheets that no run used. Readings are every car's; setups and checks are the
-- car's own, and those of no known car. nearest_run_h is how far the nearest run at that strip is.
with run_times as (
    select distinct venue, run_at
    from timeslips
    where venue is not null and run_at is not null
),

readings as (
    select 'weather' as kind, file, sheet, "row", venue, read_at as moment, reading_id from weather
    union all
    select 'track', file, sheet, "row", venue, read_at, reading_id from track
),

readings_left as (
    select *
    from readings
    anti join attached_uses using (kind, file, sheet, "row")
),

nearest as (
    select
        readings_left.*,
        least(
            epoch(readings_left.moment - before.run_at), epoch(after.run_at - readings_left.moment)
        ) / 3600.0 as nearest_run_h
    from readings_left
    asof left join run_times as before
        on readings_left.venue = before.venue and readings_left.moment >= before.run_at
    asof left join run_times as after
        on readings_left.venue = after.venue and readings_left.moment <= after.run_at
),

judged_readings as (
    select
        kind, file, sheet, "row", moment, venue, nearest_run_h,
        case
            when venue is null or moment is null then 'strip or date is not known'
            when (kind, reading_id) not in (select (kind, reading_id) from reading_entries)
                then 'nothing in it can be used'
            when nearest_run_h is null then 'no run at this strip'
            when nearest_run_h > if(kind = 'track', $track_reach_h, $weather_reach_h) then 'no run near it'
            else 'the runs near it took others'
        end as why
    from nearest
),

judged_setups as (
    select
        'setup' as kind, file, sheet, "row", set_at as moment, cast(null as varchar) as venue,
        cast(null as double) as nearest_run_h,
        case
            when car is null or set_at is null then 'car or date is not known'
            when setup_id not in (select setup_id from setting_entries) then 'nothing in it can be used'
            else 'no run of the car while it was in force'
        end as why
    from setups
    where car = $car or car is null
),

judged_checks as (
    select
        'check' as kind, file, sheet, "row", checked_at as moment, cast(null as varchar) as venue,
        cast(null as double) as nearest_run_h,
        case
            when car is null or checked_at is null then 'car or date is not known'
            when ring_height_in is null then 'no ring height in it'
            else 'no run of the car between it and the next check'
        end as why
    from checks
    where car = $car or car is null
)

select * from judged_readings
union all
select * from judged_setups anti join attached_uses using (kind, file, sheet, "row")
union all
select * from judged_checks anti join attached_uses using (kind, file, sheet, "row")
order by kind, file, sheet, "row";
