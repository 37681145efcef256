"""A student's line -> a tree, or one clear complaint; a tree -> MathML, spoken text, plain text."""
