-- Purpose: work on one thread, and look for no way to pack columns, for a small logbook. Grain: none.
set threads = 1;
set force_compression = 'uncompressed';
