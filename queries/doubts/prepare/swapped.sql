-- Purpose: every number made by exchanging two digits that stand side by side (the point stays put). With n
--          the number without its point, digits a and b at 10^(k+1) and 10^k: n + (b - a)(10^(k+1) - 10^k).
-- Grain: scalar macros; swapped gives a list. Key: none.
-- Makes: digit, swapped
create or replace temp macro digit(n, k) as (n // (10 ** k)::bigint) % 10;

create or replace temp macro swapped(number, decimals) as
list_filter(
    list_transform(
        [0, 1, 2, 3, 4],
        lambda k: (
            round(number * 10 ** decimals)::bigint
            + (digit(round(number * 10 ** decimals)::bigint, k) - digit(round(number * 10 ** decimals)::bigint, k + 1))
            * 9 * (10 ** k)::bigint
        )::double / 10 ** decimals
    ),
    lambda other: abs(other - number) > 0.0001
);
