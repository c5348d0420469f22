-- Purpose: one cell of a clean table: null while under question, else the answer, else as typed.
-- Grain: not a table.
create or replace temp macro settled(name, typed, questioned, answers) as
    case
        when questioned is null and answers is null then typed
        when coalesce(list_contains(questioned, name), false) then null
        when coalesce(map_contains(answers, name), false) then answers[name]
        else typed
    end;

create or replace temp macro settled_extras(typed, questioned, answers) as
    case
        when questioned is null and answers is null then typed
        else map_from_entries(
            list_filter(
                map_entries(
                    map_concat(
                        typed,
                        map_from_entries(
                            list_transform(
                                list_filter(
                                    coalesce(map_entries(answers), []),
                                    lambda entry: entry.key like 'extra:%'
                                ),
                                lambda entry: {'key': entry.key[7:], 'value': entry.value}
                            )
                        )
                    )
                ),
                lambda entry: entry.value is not null
                and not coalesce(list_contains(questioned, 'extra:' || entry.key), false)
            )
        )
    end;
