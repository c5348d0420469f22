-- Reason: from one column on, every number stands one column too far to the right (one cell was skipped
--         or typed twice) or to the left (one was left out).
-- Severity: questioned. Suggests: the row moved back; what fell off the end stays empty.
insert into guessed_cells
with rows_of as (
    select
        slip_id,
        [t60_s, t330_s, t660_s, v660_mph, t1000_s, t1320_s, v1320_mph] as held,
        ['t60_s', 't330_s', 't660_s', 'v660_mph', 't1000_s', 't1320_s', 'v1320_mph'] as names
    from suspects
)

select
    slip_id, 'shifted_row', first * 10 + (step + 1), names[place],
    case
        when step = 1 then held[place + 1]
        when place > first then held[place - 1]
    end
from rows_of, range(1, 7) as starts (first), (values (1), (-1)) as steps (step), range(1, 8) as places (place)
where
    place >= first
    and (
        (step = 1 and (held[first] is null or held[first] = held[first + 1]
            or (first > 1 and held[first] = held[first - 1])))
        or (step = -1 and held[7] is null)
    );
