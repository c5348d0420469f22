-- Reason: a red light with a reaction above none, on a sheet where other red lights are below: the minus sign is lost.
-- Severity: questioned. Suggests: the same below none.
-- Reads: typed_timeslips, written
-- Needs: typed_timeslips
insert into findings
with reds as (
    select
        file, sheet, row, reaction_s,
        count(*) filter (where reaction_s < 0) over (partition by file, sheet) as below,
        count(*) filter (where reaction_s > 0) over (partition by file, sheet) as above
    from typed_timeslips
    where outcome = 'red light' and reaction_s is not null
)

select
    file, sheet, row, 'reaction_s', written(reaction_s, 3),
    'A red light has a reaction below none, as the others of this sheet have. Is the minus sign lost?',
    written(-reaction_s, 3), 'questioned', 'reaction_sign'
from reds
where reaction_s > 0 and below >= above;
