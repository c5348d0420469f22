-- Purpose: keep the findings about numbers of slips. Grain: one row per cell. Reads the frame slip_findings.
insert into findings
select
    s.file, s.sheet, s.row, a."column",
    written(
        case a."column"
            when 'reaction_s' then s.reaction_s
            when 't60_s' then s.t60_s
            when 't330_s' then s.t330_s
            when 't660_s' then s.t660_s
            when 'v660_mph' then s.v660_mph
            when 't1000_s' then s.t1000_s
            when 't1320_s' then s.t1320_s
            else s.v1320_mph
        end,
        if(a."column" like '%_mph', 2, 3)
    ),
    a.problem, a.suggestion, 'questioned', a.rule
from slip_findings as a
join suspects as s using (slip_id);
