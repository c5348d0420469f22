-- Purpose: the cars whose fits are in the store, with the content they were made of. Grain: one row per car.
select car, mark
from remembered
where stage = 'fit' and car <> '';
