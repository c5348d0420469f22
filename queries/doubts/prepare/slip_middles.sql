-- Purpose: the middle of three quartiles when there are six runs to take it from, else the usual one.
-- Grain: scalar macro. Key: none.
-- Makes: middle
create or replace temp macro middle(quartiles, runs, usual) as
if(runs >= 6, coalesce(quartiles[2], usual), usual);
