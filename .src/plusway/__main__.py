"""`python -m plusway`, for environments whose scripts are not on the path."""

import sys

from plusway.lessons.command import main

if __name__ == "__main__":
    sys.exit(main())
