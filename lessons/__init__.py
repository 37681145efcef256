"""What is taught: the scenes, the guided notebooks, the building of assignments, the command line."""
