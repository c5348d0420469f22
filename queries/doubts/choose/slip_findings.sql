-- Purpose: the cells that the best guesses change, each with its reason in words.
-- Grain: one row per cell. Key: file, sheet, row, column.
-- Reads: best_guesses, guessed_cells, slip_columns, suspect_cells, suspects, written
insert into findings
select
    s.file, s.sheet, s.row, g."column",
    written(if(g."column" = 'reaction_s', s.reaction_s, old.value), coalesce(k.decimals, 3)),
    case b.rule
        when 'missing_decimal' then 'The decimal point is missing or misplaced.'
        when 'swapped_digits' then 'Two digits look swapped: it does not fit the other times of this slip.'
        when 'wrong_digit' then 'One digit looks wrong: it does not fit the other times of this slip.'
        when 'time_and_speed_swapped' then 'Time and speed look swapped.'
        when 'splits_not_rising' then 'Times must rise down the strip; two look exchanged.'
        when 'next_column' then 'This looks typed in the next column.'
        when 'shifted_row' then 'The numbers from here on look typed one column off.'
        else 'It cannot be true beside the other times of this slip. Look at the ticket.'
    end,
    case when b.rule = 'does_not_fit' then null else coalesce(written(g.value, k.decimals), 'empty') end,
    'questioned',
    b.rule
from best_guesses as b
join guessed_cells as g using (slip_id, rule, guess)
join suspects as s using (slip_id)
left join suspect_cells as old on old.slip_id = b.slip_id and old."column" = g."column"
left join slip_columns as k on k."column" = g."column"
where g.value is distinct from old.value or (g."column" = 'reaction_s' and s.reaction_s is not null);
