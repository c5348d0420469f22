"""From the model to a decision: limits, the next setting, the dash sheet, the test runs, the bench card."""
