-- Reason: the same run stands in two rows, and they do not agree. The first row stays, the other is set
--         aside; where they differ, the first is under question. Of several rows that differ from it, the
--         earliest is named.
-- Severity: questioned. Suggests: the value of the row whose numbers hold together better.
-- Reads: doubles, slip_columns, slip_misfit, typed_timeslips, written
-- Needs: doubles
insert into findings
with held as (
    select slip_id, misfit
    from slip_misfit('typed_timeslips')
    where slip_id in (select slip_id from doubles union all select first_id from doubles)
),

numbers as (
    unpivot (
        select
            slip_id, {{ timeslips.numbers | join(', ', attribute='name') }}
        from typed_timeslips
        where slip_id in (select slip_id from doubles union all select first_id from doubles)
    )
    on * exclude (slip_id)
    into name "column" value value
)

select
    d.same_file, d.same_sheet, d.same_row, b."column", written(a.value, k.decimals),
    'The same run is also in row ' || d.row || if(d.file = d.same_file, '', ' of ' || d.file)
    || ', where it says ' || written(b.value, k.decimals) || '.',
    written(if(a.value is null or coalesce(ha.misfit, 0) > coalesce(hb.misfit, 0) + 3, b.value, a.value), k.decimals),
    'questioned', 'doubles_differ'
from doubles as d
join numbers as b on b.slip_id = d.slip_id
left join numbers as a on a.slip_id = d.first_id and a."column" = b."column"
left join held as ha on ha.slip_id = d.first_id
left join held as hb on hb.slip_id = d.slip_id
left join slip_columns as k on k."column" = b."column"
where a.value is distinct from b.value
qualify row_number() over (partition by d.first_id, b."column" order by d.slip_id) = 1;
