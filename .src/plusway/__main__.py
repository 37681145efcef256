"""`python -m plusway`, for environments whose scripts are not on the path."""

import sys

from plusway.lessons.command import main

sys.exit(main())
