-- Purpose: read the text cells of one timeslips sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- A row with e, E or _ among its numbers goes to the careful reading whole (quick_number says why).
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
insert into rows_timeslips by name
with joined_cells as (
    select
        *,
        concat(
            reaction_s, t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph, launch_rpm,
            track_temp_degf, preload_turns, counterweight_g, tire_pressure_psi
        ) as joined
    from sheet_cells
),

looked_at as (
    select
        *,
        case
            when not (contains(joined, 'e') or contains(joined, 'E') or contains(joined, '_')) then 1.0::double
        end as one_if_plain
    from joined_cells
),

read_cells as (
    select
        *,
        iso_day("date") as "day",
        clock_seconds("time") as clock_s,
        quick_number(reaction_s, one_if_plain, $reaction_s_factor, $reaction_s_offset) as reaction_s_read,
        quick_number(t60_s, one_if_plain, $t60_s_factor, $t60_s_offset) as t60_s_read,
        quick_number(t330_s, one_if_plain, $t330_s_factor, $t330_s_offset) as t330_s_read,
        quick_number(t660_s, one_if_plain, $t660_s_factor, $t660_s_offset) as t660_s_read,
        quick_number(v660_mph, one_if_plain, $v660_mph_factor, $v660_mph_offset) as v660_mph_read,
        quick_number(t1000_s, one_if_plain, $t1000_s_factor, $t1000_s_offset) as t1000_s_read,
        quick_number(t1320_s, one_if_plain, $t1320_s_factor, $t1320_s_offset) as t1320_s_read,
        quick_number(v1320_mph, one_if_plain, $v1320_mph_factor, $v1320_mph_offset) as v1320_mph_read,
        quick_number(launch_rpm, one_if_plain, $launch_rpm_factor, $launch_rpm_offset) as launch_rpm_read,
        quick_number(track_temp_degf, one_if_plain, $track_temp_degf_factor, $track_temp_degf_offset) as track_temp_degf_read,
        quick_number(preload_turns, one_if_plain, $preload_turns_factor, $preload_turns_offset) as preload_turns_read,
        quick_number(counterweight_g, one_if_plain, $counterweight_g_factor, $counterweight_g_offset) as counterweight_g_read,
        quick_number(tire_pressure_psi, one_if_plain, $tire_pressure_psi_factor, $tire_pressure_psi_offset) as tire_pressure_psi_read,
        list_transform(several, lambda cell: plain_number(cell, $preload_turns_factor, $preload_turns_offset)) as several_read,
        list_transform(extra_texts, lambda cell: plain_number(cell, 1.0, 0.0)) as extras_read
    from looked_at
),

judged as (
    select
        *,
        coalesce(
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
            or spill <> '',
            false
        ) as is_odd_row
    from read_cells
)

select
    $sheet_no as sheet_no,
    $file as file,
    $sheet as sheet,
    line as "row",
    "day",
    clock_s,
    coalesce(tidy(car), $only_car) as car,
    coalesce(tidy(venue), $only_venue) as venue,
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
