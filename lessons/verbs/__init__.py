"""One file per verb of the command: `add_parser(subparsers)` and `run(args) -> int`, heavy imports inside `run`."""
