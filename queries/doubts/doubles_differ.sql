-- Reason: the same run stands in two rows, and they do not agree. The first row stays, the other is set
--         aside; where they differ, the first is under question. Of several rows that differ from it, the
--         earliest is named.
-- Severity: questioned. Suggests: the value of the row whose numbers hold together better.
-- Reads: slip_columns, slip_misfit, typed_timeslips, unlike_doubles, written
-- Needs: unlike_doubles
insert into findings
with held as (
    select slip_id, misfit
    from slip_misfit('typed_timeslips')
    where slip_id in (select slip_id from unlike_doubles union all select first_id from unlike_doubles)
)

select
    d.same_file, d.same_sheet, d.same_row, d."column", written(d.first_value, k.decimals),
    'The same run is also in row ' || d.row || if(d.file = d.same_file, '', ' of ' || d.file)
    || ', where it says ' || written(d.value, k.decimals) || '.',
    written(
        if(d.first_value is null or coalesce(ha.misfit, 0) > coalesce(hb.misfit, 0) + 3, d.value, d.first_value),
        k.decimals
    ),
    'questioned', 'doubles_differ'
from unlike_doubles as d
left join held as ha on ha.slip_id = d.first_id
left join held as hb on hb.slip_id = d.slip_id
left join slip_columns as k on k."column" = d."column"
qualify row_number() over (partition by d.first_id, d."column" order by d.slip_id) = 1;
