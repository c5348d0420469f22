-- Purpose: the quick reading of one cell, used by the read_* queries. Grain: not a table.
-- A number is digits with a point: try_cast alone would also take nan, inf, 1e5 and 1_000.
create or replace temp macro plain_number(cell, factor, shift) as
    case
        when not (contains(cell, 'e') or contains(cell, 'E') or contains(cell, '_'))
            and abs(try_cast(cell as double)) < 1e9
            then try_cast(cell as double) * factor + shift
    end;

create or replace temp macro iso_day(cell, typed) as
    case when strlen(cell) between 8 and 10 and typed between date '1950-01-01' and date '2100-12-31' then typed end;

create or replace temp macro clock_seconds(cell, typed) as
    case when strlen(cell) between 4 and 8 then epoch(typed)::integer % 86400 end;

-- Trimming costs most of reading a text, so it is done only where there is something to trim.
create or replace temp macro tidy(cell) as
    case
        when cell < '!' or ends_with(cell, ' ') then nullif(trim(cell), '')
        else cell
    end;

-- The only car or strip of the garage, where a sheet names none. Where there are several, no row is asked.
create or replace temp macro or_only(name, the_only) as
    case when the_only is null then name else coalesce(name, the_only) end;

-- A time below 10 s with two decimals has four characters, one above it five: a cheap first look. A number with
-- a decimal comma, or beside words, is not read yet.
create or replace temp macro has_two_decimals(cell, number) as
    case
        when number is null and cell <> ''
            then (strlen(cell) between 4 and 5 and strlen(cell) - 2 in (strpos(cell, ','), strpos(cell, '.')))::integer
        when strlen(cell) = if(number < 10, 4, 5) then (strpos(cell, '.') = strlen(cell) - 2)::integer
        else 0
    end;

create or replace temp macro is_odd(cells, numbers) as
    cells is not null
    and len(list_filter(cells, lambda cell: trim(cell) <> ''))
    <> len(list_filter(numbers, lambda number: number is not null));

create or replace temp macro named_numbers(names, numbers) as
    case
        when len(names) > 0 then map_from_entries(
            list_filter(
                list_transform(numbers, lambda number, place: {'k': names[place], 'v': number}),
                lambda entry: entry.v is not null
            )
        )
    end;

create or replace temp macro odd_extras(names, cells, numbers) as
    list_transform(
        cells,
        lambda cell, place: {
            'column': 'extra:' || names[place],
            'text': case when numbers[place] is null then cell end
        }
    );

create or replace temp macro written(cells) as len(list_filter(cells, lambda cell: cell is not null));

create or replace temp macro no_data("row", heading_row, undated, headings) as
    case
        when "row" <= heading_row then 'heading'
        when written(undated) = 0 then 'blank'
        when len(
            list_filter(undated, lambda cell, place: lower(cell) = lower(trim(headings[place])))
        ) >= greatest(2, 0.6 * written(undated)) then 'heading again'
        when regexp_matches(
            list_filter(undated, lambda cell: cell is not null)[1],
            '(?i)^(grand )?(totals?|averages?|avg|mean|best|worst|sum|min|max|median|count)\b'
        ) then 'total'
    end;

-- Where the wind comes from, out of a cell such as 'SW 8', '5 head' or '070/08'; pipeline/ingest/wind.py reads the speed.
create or replace temp macro wind_side(cell) as
    coalesce(
        nullif(regexp_extract(cell, '(?i)^\s*([0-3]\d\d)\s*(?:°|deg\w*)?\s*(?:/|@|at\b|-|\s|\d{2,3}\s*(?:g\d+\s*)?kts?$)\s*\d*', 1), ''),
        nullif(regexp_extract(
            cell,
            '(?i)(?:^|[\s\d,]|\d[/@])(n|nne|ne|ene|e|ese|se|sse|s|ssw|sw|wsw|w|wnw|nw|nnw|(?:north|south)(?:[- ]?(?:east|west))?|east|west|(?:head|tail|cross|side)(?:[- ]?wind)?|left|right|ahead|behind|front|rear)(?:$|[\s\d,]|[/@]\d)',
            1
        ), '')
    );
