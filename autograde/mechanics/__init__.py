"""A scene and positive directions -> equations, ties, regime, exact values, worked solution."""
