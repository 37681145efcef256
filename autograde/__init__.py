"""What is true: scenes, mechanics, reading a line, judging it, and marking. Pure Python; no numpy, no matplotlib."""
