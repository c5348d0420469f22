"""One car's season: the model, and what it says."""
