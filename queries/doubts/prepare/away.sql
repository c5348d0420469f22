-- Purpose: squared distance from the usual in widths, bent so that it never passes 400; null when there is nothing to judge.
-- Grain: scalar macro. Key: none.
create or replace temp macro away(found, middle, width) as
(found - middle) * (found - middle) / (width * width + (found - middle) * (found - middle) * 0.0025);
