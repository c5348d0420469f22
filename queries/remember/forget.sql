-- Purpose: forget what a stage's tables were made of, unless it is the very same. Grain: at most one row.
delete from remembered
where stage = $stage and car = $car and mark <> $mark;
