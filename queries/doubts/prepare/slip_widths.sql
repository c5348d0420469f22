-- Purpose: a width from three quartiles: quartile range / 1.349 (the standard deviation of a bell curve),
--          never under a floor in parts of the median, wider while runs are few; none under six runs.
-- Grain: scalar macro. Key: none.
-- Makes: width
create or replace temp macro width(quartiles, runs, floor_part) as
if(
    runs >= 6 and quartiles[2] is not null,
    greatest((quartiles[3] - quartiles[1]) / 1.349, floor_part * abs(quartiles[2])) * sqrt(1 + 8.0 / runs),
    null
);
