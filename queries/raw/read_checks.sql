-- Purpose: read the text cells of one checks sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
insert into rows_checks by name
with read_cells as (
    select
        *,
        iso_day("date", try_cast("date" as date)) as "day",
        clock_seconds("time", try_cast("time" as time)) as clock_s,
        plain_number(ring_height_in, $ring_height_in_factor, $ring_height_in_offset) as ring_height_in_read,
        plain_number(shim_removed_in, $shim_removed_in_factor, $shim_removed_in_offset) as shim_removed_in_read,
        plain_number(bearing_clearance_in, $bearing_clearance_in_factor, $bearing_clearance_in_offset) as bearing_clearance_in_read,
        plain_number(disc_thickness_in, $disc_thickness_in_factor, $disc_thickness_in_offset) as disc_thickness_in_read,
        list_transform(several, lambda cell: plain_number(cell, $ring_height_in_factor, $ring_height_in_offset)) as several_read
    from sheet_cells
),

judged as (
    select
        *,
        case
            when
                ("day" is null and "date" <> '')
                or (clock_s is null and "time" <> '')
                or (ring_height_in_read is null and ring_height_in <> '')
                or (shim_removed_in_read is null and shim_removed_in <> '')
                or (bearing_clearance_in_read is null and bearing_clearance_in <> '')
                or (disc_thickness_in_read is null and disc_thickness_in <> '')
                or is_odd(several, several_read)
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
    coalesce(ring_height_in_read, list_avg(several_read)) as ring_height_in,
    shim_removed_in_read as shim_removed_in,
    bearing_clearance_in_read as bearing_clearance_in,
    disc_thickness_in_read as disc_thickness_in,
    list_filter(several_read, lambda number: number is not null) as ring_heights_in,
    case
        when is_odd_row then list_filter(
            [
                {'column': 'date', 'text': case when "day" is null then "date" end},
                {'column': 'time', 'text': case when clock_s is null then "time" end},
                {'column': 'ring_height_in', 'text': case when ring_height_in_read is null then ring_height_in end},
                {'column': 'shim_removed_in', 'text': case when shim_removed_in_read is null then shim_removed_in end},
                {'column': 'bearing_clearance_in', 'text': case when bearing_clearance_in_read is null then bearing_clearance_in end},
                {'column': 'disc_thickness_in', 'text': case when disc_thickness_in_read is null then disc_thickness_in end},
                {'column': 'ring_height_in', 'text': case when is_odd(several, several_read) then array_to_string(several, ' / ') end},
                {'column': 'spill', 'text': spill}
            ],
            lambda cell: trim(cell."text") <> ''
        )
    end as odd,
    case
        when "day" is null then [
            tidy("date"), tidy("time"), tidy(car), tidy(notes), tidy(ring_height_in),
            tidy(shim_removed_in), tidy(bearing_clearance_in), tidy(disc_thickness_in)
        ]
    end as undated
from judged;
