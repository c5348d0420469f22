-- Purpose: every whole number made by taking out one of two equal digits that stand side by side.
-- Grain: scalar macro; gives a list. Key: none.
-- Reads: digit
create or replace temp macro typed_twice(number) as
list_transform(
    list_filter(
        [0, 1, 2, 3, 4],
        lambda k: number = round(number) and number >= (10 ** (k + 1)) and digit(number::bigint, k) = digit(number::bigint, k + 1)
    ),
    lambda k: (number::bigint // (10 ** (k + 1))::bigint * (10 ** k)::bigint + number::bigint % (10 ** k)::bigint)::double
);
