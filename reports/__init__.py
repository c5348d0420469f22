"""Pages and charts from results; never opens the store itself."""
