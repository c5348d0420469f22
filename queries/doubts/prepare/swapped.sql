-- Purpose: every number made by exchanging two digits that stand side by side (the point stays put).
-- Grain: scalar macro giving a list. Key: none.
create or replace temp macro digits_of(number, decimals) as
if(
    round(abs(number) * 10 ** decimals) < 10 ** decimals,
    lpad(round(abs(number) * 10 ** decimals)::bigint::varchar, (decimals + 1)::integer, '0'),
    round(abs(number) * 10 ** decimals)::bigint::varchar
);

create or replace temp macro swapped(number, decimals) as
list_transform(
    list_filter(
        range(1, length(digits_of(number, decimals))),
        lambda spot: digits_of(number, decimals)[spot] <> digits_of(number, decimals)[spot + 1]
    ),
    lambda spot: (
        left(digits_of(number, decimals), (spot - 1)::integer)
        || digits_of(number, decimals)[spot + 1] || digits_of(number, decimals)[spot]
        || substring(digits_of(number, decimals), spot + 2)
    )::double / 10 ** decimals
);
