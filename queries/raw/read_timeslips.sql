-- Purpose: read the text cells of one timeslips sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- A row with e, E or _ among its numbers, or one past 1e9, goes to the careful reading whole: try_cast alone
-- would also take nan, inf, 1e5 and 1_000, and to look cell by cell costs a third of reading a long sheet.
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
insert into rows_timeslips by name
with typed_cells as (
    select
        *,
        try_cast("date" as date) as date_typed,
        try_cast("time" as time) as time_typed,
        concat(
            reaction_s, t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph, launch_rpm,
            track_temp_degf, preload_turns, counterweight_g, tire_pressure_psi
        ) as joined,
        try_cast(reaction_s as double) as reaction_s_typed,
        try_cast(t60_s as double) as t60_s_typed,
        try_cast(t330_s as double) as t330_s_typed,
        try_cast(t660_s as double) as t660_s_typed,
        try_cast(v660_mph as double) as v660_mph_typed,
        try_cast(t1000_s as double) as t1000_s_typed,
        try_cast(t1320_s as double) as t1320_s_typed,
        try_cast(v1320_mph as double) as v1320_mph_typed,
        try_cast(launch_rpm as double) as launch_rpm_typed,
        try_cast(track_temp_degf as double) as track_temp_degf_typed,
        try_cast(preload_turns as double) as preload_turns_typed,
        try_cast(counterweight_g as double) as counterweight_g_typed,
        try_cast(tire_pressure_psi as double) as tire_pressure_psi_typed
    from sheet_cells
),

looked_at as (
    select
        *,
        case
            when
                not (contains(joined, 'e') or contains(joined, 'E') or contains(joined, '_'))
                and coalesce(
                    greatest(
                        reaction_s_typed, t60_s_typed, t330_s_typed, t660_s_typed, v660_mph_typed,
                        t1000_s_typed, t1320_s_typed, v1320_mph_typed, launch_rpm_typed, track_temp_degf_typed,
                        preload_turns_typed, counterweight_g_typed, tire_pressure_psi_typed
                    ),
                    0
                ) < 1e9
                and (not contains(joined, '-') or coalesce(
                    least(
                        reaction_s_typed, t60_s_typed, t330_s_typed, t660_s_typed, v660_mph_typed,
                        t1000_s_typed, t1320_s_typed, v1320_mph_typed, launch_rpm_typed, track_temp_degf_typed,
                        preload_turns_typed, counterweight_g_typed, tire_pressure_psi_typed
                    ),
                    0
                ) > -1e9)
                then 1.0::double
        end as one_if_plain
    from typed_cells
),

read_cells as (
    select
        *,
        iso_day("date", date_typed) as "day",
        clock_seconds("time", time_typed) as clock_s,
        reaction_s_typed * $reaction_s_factor * one_if_plain + $reaction_s_offset as reaction_s_read,
        t60_s_typed * $t60_s_factor * one_if_plain + $t60_s_offset as t60_s_read,
        t330_s_typed * $t330_s_factor * one_if_plain + $t330_s_offset as t330_s_read,
        t660_s_typed * $t660_s_factor * one_if_plain + $t660_s_offset as t660_s_read,
        v660_mph_typed * $v660_mph_factor * one_if_plain + $v660_mph_offset as v660_mph_read,
        t1000_s_typed * $t1000_s_factor * one_if_plain + $t1000_s_offset as t1000_s_read,
        t1320_s_typed * $t1320_s_factor * one_if_plain + $t1320_s_offset as t1320_s_read,
        v1320_mph_typed * $v1320_mph_factor * one_if_plain + $v1320_mph_offset as v1320_mph_read,
        launch_rpm_typed * $launch_rpm_factor * one_if_plain + $launch_rpm_offset as launch_rpm_read,
        track_temp_degf_typed * $track_temp_degf_factor * one_if_plain + $track_temp_degf_offset as track_temp_degf_read,
        preload_turns_typed * $preload_turns_factor * one_if_plain + $preload_turns_offset as preload_turns_read,
        counterweight_g_typed * $counterweight_g_factor * one_if_plain + $counterweight_g_offset as counterweight_g_read,
        tire_pressure_psi_typed * $tire_pressure_psi_factor * one_if_plain + $tire_pressure_psi_offset as tire_pressure_psi_read,
        list_transform(several, lambda cell: plain_number(cell, $preload_turns_factor, $preload_turns_offset)) as several_read,
        list_transform(extra_texts, lambda cell: plain_number(cell, 1.0, 0.0)) as extras_read
    from looked_at
),

judged as (
    select
        *,
        case
            when
                ("day" is null and "date" <> '')
                or (clock_s is null and "time" <> '')
                or (reaction_s_read is null and reaction_s <> '')
                or (t60_s_read is null and t60_s <> '')
                or (t330_s_read is null and t330_s <> '')
                or (t660_s_read is null and t660_s <> '')
                or (v660_mph_read is null and v660_mph <> '')
                or (t1000_s_read is null and t1000_s <> '')
                or (t1320_s_read is null and t1320_s <> '')
                or (v1320_mph_read is null and v1320_mph <> '')
                or (launch_rpm_read is null and launch_rpm <> '')
                or (track_temp_degf_read is null and track_temp_degf <> '')
                or (preload_turns_read is null and preload_turns <> '')
                or (counterweight_g_read is null and counterweight_g <> '')
                or (tire_pressure_psi_read is null and tire_pressure_psi <> '')
                or is_odd(several, several_read)
                or is_odd(extra_texts, extras_read)
                or spill <> ''
                then true
            else false
        end as is_odd_row
    from read_cells
)

select
    $sheet_no as sheet_no,
    $file as file,
    $sheet as sheet,
    line as "row",
    "day",
    clock_s,
    or_only(tidy(car), $only_car) as car,
    or_only(tidy(venue), $only_venue) as venue,
    tidy(event) as event,
    tidy(round) as round,
    tidy(lane) as lane,
    tidy(outcome) as outcome,
    tidy(notes) as notes,
    reaction_s_read as reaction_s,
    t60_s_read as t60_s,
    t330_s_read as t330_s,
    t660_s_read as t660_s,
    v660_mph_read as v660_mph,
    t1000_s_read as t1000_s,
    t1320_s_read as t1320_s,
    v1320_mph_read as v1320_mph,
    launch_rpm_read as launch_rpm,
    track_temp_degf_read as track_temp_degf,
    coalesce(preload_turns_read, list_avg(several_read)) as preload_turns,
    counterweight_g_read as counterweight_g,
    tire_pressure_psi_read as tire_pressure_psi,
    named_numbers($extra_names, extras_read) as extras,
    1 * has_two_decimals(t60_s, t60_s_read)
    + 2 * has_two_decimals(t330_s, t330_s_read)
    + 4 * has_two_decimals(t660_s, t660_s_read)
    + 8 * has_two_decimals(t1000_s, t1000_s_read)
    + 16 * has_two_decimals(t1320_s, t1320_s_read) as short_splits,
    case
        when is_odd_row then list_filter(
            list_concat([
                {'column': 'date', 'text': case when "day" is null then "date" end},
                {'column': 'time', 'text': case when clock_s is null then "time" end},
                {'column': 'reaction_s', 'text': case when reaction_s_read is null then reaction_s end},
                {'column': 't60_s', 'text': case when t60_s_read is null then t60_s end},
                {'column': 't330_s', 'text': case when t330_s_read is null then t330_s end},
                {'column': 't660_s', 'text': case when t660_s_read is null then t660_s end},
                {'column': 'v660_mph', 'text': case when v660_mph_read is null then v660_mph end},
                {'column': 't1000_s', 'text': case when t1000_s_read is null then t1000_s end},
                {'column': 't1320_s', 'text': case when t1320_s_read is null then t1320_s end},
                {'column': 'v1320_mph', 'text': case when v1320_mph_read is null then v1320_mph end},
                {'column': 'launch_rpm', 'text': case when launch_rpm_read is null then launch_rpm end},
                {'column': 'track_temp_degf', 'text': case when track_temp_degf_read is null then track_temp_degf end},
                {'column': 'preload_turns', 'text': case when preload_turns_read is null then preload_turns end},
                {'column': 'counterweight_g', 'text': case when counterweight_g_read is null then counterweight_g end},
                {'column': 'tire_pressure_psi', 'text': case when tire_pressure_psi_read is null then tire_pressure_psi end},
                {'column': 'preload_turns', 'text': case when is_odd(several, several_read) then array_to_string(several, ' / ') end},
                {'column': 'spill', 'text': spill}
            ], odd_extras($extra_names, extra_texts, extras_read)),
            lambda cell: trim(cell."text") <> ''
        )
    end as odd,
    case
        when "day" is null then [
            tidy("date"), tidy("time"), tidy(car), tidy(venue), tidy(event),
            tidy(round), tidy(lane), tidy(outcome), tidy(notes), tidy(reaction_s),
            tidy(t60_s), tidy(t330_s), tidy(t660_s), tidy(v660_mph), tidy(t1000_s),
            tidy(t1320_s), tidy(v1320_mph), tidy(launch_rpm), tidy(track_temp_degf),
            tidy(preload_turns), tidy(counterweight_g), tidy(tire_pressure_psi)
        ]
    end as undated
from judged;
