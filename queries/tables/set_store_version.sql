-- Purpose: note the version a store was brought to. Grain: one row.
update store_facts
set value = $version
where fact = 'store_version';
