"""An invented season, as a person would have typed it, and the launch simulation it comes from."""
