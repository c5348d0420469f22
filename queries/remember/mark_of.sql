-- Purpose: the mark of the content that a stage's tables were made of. Grain: at most one row.
select mark
from remembered
where stage = $stage and car = $car;
