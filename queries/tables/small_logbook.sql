-- Purpose: for a small logbook work on one thread, look for no way to pack columns, and plan quickly: of these
--          ways to plan none pays for a few hundred rows, and together they take a fifth of a statement. The
--          others stay: without some of them DuckDB 2.0 is slower, or stops with an internal error.
-- Grain: none.
set threads = 1;
set force_compression = 'uncompressed';
set disabled_optimizers = 'common_subexpressions,common_subplan,join_filter_pushdown,join_order,projection_placement,projection_pullup,statistics_propagation';
