-- Question: which runs break a rule that holds for every run? None should.
-- Grain: one row per run and broken rule. Read by the tests only.
with rules as (
    select
        run_id,
        unnest([
            {'rule': 'a run left out of a split says why, and no other does',
             'holds': (use_t60 and use_t60_330 and use_t330) = (left_out_reason is null)},
            {'rule': 'a split that counts is written down',
             'holds': (t60_s is not null or not use_t60) and (t330_s is not null or not use_t330)},
            {'rule': 'the 60-330 section counts only with both of its ends',
             'holds': not use_t60_330 or t60_330_s > 0},
            {'rule': 'a split that counts belongs to a car and a time',
             'holds': (car is not null and run_at is not null) or not (use_t60 or use_t330)},
            {'rule': 'plate load is static and centrifugal',
             'holds': plate_load_lb is null
                 or abs(plate_load_lb - preload_lb - centrifugal_lb) <= 1e-9 * plate_load_lb},
            {'rule': 'no load is below zero',
             'holds': coalesce(preload_lb, 0) >= 0 and coalesce(centrifugal_lb, 0) >= 0},
            {'rule': 'air has a density exactly where its three readings are known',
             'holds': (air_density_kg_per_m3 is not null)
                 = (air_temp_degf is not null and station_pressure_inhg is not null
                    and vapor_pressure_inhg is not null)},
            {'rule': 'humidity lies between 0 and 100 %',
             'holds': coalesce(humidity_pct between 0 and 100, true)},
            {'rule': 'a gap is not below zero',
             'holds': coalesce(weather_gap_h, 0) >= 0 and coalesce(track_temp_gap_h, 0) >= 0},
            {'rule': 'runs since a service are counted from zero',
             'holds': coalesce(runs_since_service, 0) >= 0 and coalesce(service_no, 0) >= 0},
            {'rule': 'what is under question is not used as a time',
             'holds': not (list_contains(questioned, 't60_s') and use_t60)
                 and not (list_contains(questioned, 't330_s') and use_t330)},
            {'rule': 'lists and maps are there, if empty',
             'holds': questioned is not null and extras is not null}
        ]) as found
    from runs
),

twice as (
    select run_id, 'a run stands once' as rule
    from runs
    group by run_id
    having count(*) > 1
)

select run_id, found.rule as rule from rules where not coalesce(found.holds, false)
union all
select run_id, rule from twice
order by run_id, rule;
