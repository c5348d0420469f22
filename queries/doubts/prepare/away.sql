-- Purpose: squared distance from the usual in widths, 400 at most; null when there is nothing to judge.
-- Grain: scalar macro. Key: none.
create or replace temp macro away(found, middle, width) as
if(abs(found - middle) > 20 * width, 400.0, ((found - middle) / width) ** 2);
