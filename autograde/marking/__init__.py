"""A folder of notebooks -> points, feedback, reports; the nbgrader adapter."""
