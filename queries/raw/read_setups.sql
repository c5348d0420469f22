-- Purpose: read the text cells of one setups sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
insert into rows_setups by name
with read_cells as (
    select
        *,
        iso_day("date", try_cast("date" as date)) as "day",
        clock_seconds("time", try_cast("time" as time)) as clock_s,
        plain_number(preload_turns, $preload_turns_factor, $preload_turns_offset) as preload_turns_read,
        plain_number(counterweight_g, $counterweight_g_factor, $counterweight_g_offset) as counterweight_g_read,
        plain_number(launch_rpm, $launch_rpm_factor, $launch_rpm_offset) as launch_rpm_read,
        plain_number(tire_pressure_psi, $tire_pressure_psi_factor, $tire_pressure_psi_offset) as tire_pressure_psi_read,
        list_transform(several, lambda cell: plain_number(cell, $preload_turns_factor, $preload_turns_offset)) as several_read,
        list_transform(extra_texts, lambda cell: plain_number(cell, 1.0, 0.0)) as extras_read
    from sheet_cells
),

judged as (
    select
        *,
        case
            when
                ("day" is null and "date" <> '')
                or (clock_s is null and "time" <> '')
                or (preload_turns_read is null and preload_turns <> '')
                or (counterweight_g_read is null and counterweight_g <> '')
                or (launch_rpm_read is null and launch_rpm <> '')
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
    tidy(notes) as notes,
    coalesce(preload_turns_read, list_avg(several_read)) as preload_turns,
    counterweight_g_read as counterweight_g,
    launch_rpm_read as launch_rpm,
    tire_pressure_psi_read as tire_pressure_psi,
    list_filter(several_read, lambda number: number is not null) as preload_screws,
    named_numbers($extra_names, extras_read) as extras,
    case
        when is_odd_row then list_filter(
            list_concat([
                {'column': 'date', 'text': case when "day" is null then "date" end},
                {'column': 'time', 'text': case when clock_s is null then "time" end},
                {'column': 'preload_turns', 'text': case when preload_turns_read is null then preload_turns end},
                {'column': 'counterweight_g', 'text': case when counterweight_g_read is null then counterweight_g end},
                {'column': 'launch_rpm', 'text': case when launch_rpm_read is null then launch_rpm end},
                {'column': 'tire_pressure_psi', 'text': case when tire_pressure_psi_read is null then tire_pressure_psi end},
                {'column': 'preload_turns', 'text': case when is_odd(several, several_read) then array_to_string(several, ' / ') end},
                {'column': 'spill', 'text': spill}
            ], odd_extras($extra_names, extra_texts, extras_read)),
            lambda cell: trim(cell."text") <> ''
        )
    end as odd,
    case
        when "day" is null then [
            tidy("date"), tidy("time"), tidy(car), tidy(notes), tidy(preload_turns),
            tidy(counterweight_g), tidy(launch_rpm), tidy(tire_pressure_psi)
        ]
    end as undated
from judged;
