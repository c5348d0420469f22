-- Purpose: give each question its lasting name, made of where the entry stands and what it says, and that of its
--          cause: what is wrong with many entries of a column in the same way is asked once. The rule is no part of
--          the first name, so an answer outlives a better rule. A date is one cause on all tables of a tab, for it stands
--          above them or on rows that hold several things; a heading or a word is one in all sheets of a file. $words: the columns that hold words.
-- Grain: one row per question. Key: question_id.
update questions
set
    question_id = left(md5(concat_ws(chr(31), file, sheet, row, "column", coalesce(value, ''))), 12),
    group_id = left(md5(concat_ws(chr(31), file, case
        when "column" = 'heading' or (rule = 'unreadable' and list_contains($words, "column"))
            then ''
        when "column" = 'date' and suggestion is not null
            then regexp_replace(sheet, '(^|, )(table \d+)?(, )?(lines)?(, )?(weather|setups|track|checks)?$', '')
        else sheet
    end, "column", severity, rule, case
        when "column" = 'heading'
            then concat_ws(chr(31), lower(value), suggestion)
        when
            rule in (
                'altimeter_or_station', 'humidity_fraction', 'celsius', 'counterweight_total', 'missing_decimal',
                'hundredths'
            )
            then 'any'
        when rule in ('wrong_year', 'wrong_month', 'day_and_month_swapped')
            then concat_ws(chr(31), reading, suggestion)
        when rule in ('setting_out_of_reach', 'turns_past_limit', 'turns_below_none') and suggestion is not null
            then concat_ws(chr(31), reading, suggestion)
        when rule = 'setting_out_of_reach'
            then coalesce(value, reading)
        when rule = 'copied_slip' and problem like 'Every time and speed of row % of % stands here again%'
            then regexp_extract(problem, 'row \d+ of (.+) stands', 1)
        when rule = 'unreadable' and (suggestion is not null or "column" = 'outcome') and list_contains($words, "column")
            then lower(value)
        when rule = 'unreadable' and suggestion is not null
            then regexp_replace(problem, '''[^'']*''|-?\d[\d.]*', '', 'g')
        else concat_ws(chr(31), row, value)
    end)), 12);
