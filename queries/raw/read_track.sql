-- Purpose: read the text cells of one track sheet: plain numbers, ISO dates and 24-hour times here;
-- whatever else stands in a cell is kept in odd for the careful reading.
-- Grain: one row per row of the sheet. Reads the view sheet_cells (canonical columns as text).
insert into rows_track by name
with read_cells as (
    select
        *,
        iso_day("date", try_cast("date" as date)) as "day",
        clock_seconds("time", try_cast("time" as time)) as clock_s,
        plain_number(track_temp_degf, $track_temp_degf_factor, $track_temp_degf_offset) as track_temp_degf_read
    from sheet_cells
),

judged as (
    select
        *,
        case
            when
                ("day" is null and "date" <> '')
                or (clock_s is null and "time" <> '')
                or (track_temp_degf_read is null and track_temp_degf <> '')
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
    or_only(tidy(venue), $only_venue) as venue,
    tidy(lane) as lane,
    tidy(notes) as notes,
    track_temp_degf_read as track_temp_degf,
    case
        when is_odd_row then list_filter(
            [
                {'column': 'date', 'text': case when "day" is null then "date" end},
                {'column': 'time', 'text': case when clock_s is null then "time" end},
                {'column': 'track_temp_degf', 'text': case when track_temp_degf_read is null then track_temp_degf end},
                {'column': 'spill', 'text': spill}
            ],
            lambda cell: trim(cell."text") <> ''
        )
    end as odd,
    case
        when "day" is null then [
            tidy("date"), tidy("time"), tidy(venue), tidy(lane), tidy(notes),
            tidy(track_temp_degf)
        ]
    end as undated
from judged;
