"""The season model: one Bayesian mixed regression, and what it says."""
