"""What the student touches: one widget per kind of step, the drawing, the JupyterLab extension."""
