-- Purpose: a scratch database is thrown away: do not tidy its file up when it closes.
-- Grain: none.
-- Key: none.
pragma disable_checkpoint_on_shutdown;
