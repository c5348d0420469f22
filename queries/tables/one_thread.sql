-- Purpose: work on one thread, for a small logbook. Grain: none.
set threads = 1;
