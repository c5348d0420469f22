-- Purpose: the median of a sorted list without its place-th value, from n values of which three are known: below
--          at n // 2, at_middle one place on, above two; null when nothing is left.
-- Grain: scalar macro. Key: none.
create or replace temp macro middle_without(place, n, below, at_middle, above) as
case
    when n % 2 = 0 then if(place <= n // 2, at_middle, below)
    when place <= n // 2 then (at_middle + above) / 2
    when place = n // 2 + 1 then (below + above) / 2
    else (below + at_middle) / 2
end;
